"""What a window and its species say of themselves, in sentences."""

from __future__ import annotations

from season_engine.facts import Text
from season_engine.messages import Message
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Sections, Window

_PARTS = {2: Message("halves"), 3: Message("thirds"), 4: Message("quarters")}


def own_words(species: Species, window: Window) -> tuple[str | Text, ...]:
    """The notes of a window and its species, how roots are renewed over the years, and rival schools."""
    said: tuple[str | Text, ...] = (
        school_sentence(window.school, species.other_schools(window)),
        JOBS[window.job].note,
        window.note,
        *(sections_sentence(sections) for sections in window.sections),
        species.note,
    )
    return tuple(text for text in said if text)


def school_sentence(school: str, others: tuple[str, ...]) -> str:
    """That growers disagree, where nobody has chosen; else nothing."""
    if not others:
        return ""
    first, *more = (Message.named("school", other) for other in others)
    rivals = Message('"{other}"', other=first)
    for other in more:
        rivals = Message('{others} and "{other}"', others=rivals, other=other)
    return Message.of_count(
        'Growers disagree: "{school}" is one school, {others} the other. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out.",
        'Growers disagree: "{school}" is one school, {others} the others. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out.",
        len(others),
        school=Message.named("school", school),
        others=rivals,
    )


def sections_sentence(sections: Sections) -> str:
    """In which parts, and how many years apart."""
    least, most = sections.years_apart
    apart = Message("{least} to {most} years", least=least, most=most)
    if least == most:
        apart = Message.of_count("{n} year", "{n} years", most)
    parts = _PARTS.get(sections.parts) or Message("{n} parts", n=sections.parts)
    told = Message("In {parts}, about {years} apart, for {trees}.")
    return Message(told, parts=parts, years=apart, trees=sections.trees)
