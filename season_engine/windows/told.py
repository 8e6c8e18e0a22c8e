"""What a window and its species say of themselves, in sentences."""

from __future__ import annotations

from season_engine.species.catalogue import Species
from season_engine.species.schema import Sections, Window

_PARTS = {2: "halves", 3: "thirds", 4: "quarters"}


def own_words(species: Species, window: Window) -> tuple[str, ...]:
    """The notes of a window and its species, how roots are renewed over the years, and rival schools."""
    said = (
        school_sentence(window.school, species.other_schools(window)),
        window.note,
        *(sections_sentence(sections) for sections in window.sections),
        species.note,
    )
    return tuple(text for text in said if text)


def school_sentence(school: str, others: tuple[str, ...]) -> str:
    """That growers disagree, where nobody has chosen; else nothing."""
    if not others:
        return ""
    rivals = " and ".join(f'"{other}"' for other in others)
    return (
        f'Growers disagree: "{school}" is one school, {rivals} the other{"s" if len(others) > 1 else ""}. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out."
    )


def sections_sentence(sections: Sections) -> str:
    """In which parts, and how many years apart."""
    least, most = sections.years_apart
    apart = f"{least} {'year' if least == 1 else 'years'}" if least == most else f"{least} to {most} years"
    parts = _PARTS.get(sections.parts, f"{sections.parts} parts")
    return f"In {parts}, about {apart} apart, for {sections.trees}."
