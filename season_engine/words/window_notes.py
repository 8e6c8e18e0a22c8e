"""What a window and its species have noted of themselves, in sentences."""

from __future__ import annotations

from season_engine.facts import Text
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Sections
from season_engine.windows.window_notes import HowDone, Noted, RivalSchools, WindowNote
from season_engine.words.speech import said, say, say_count

_PARTS = {2: Text("halves"), 3: Text("thirds"), 4: Text("quarters")}


def note_text(note: WindowNote) -> str:
    """One note."""
    match note:
        case RivalSchools():
            return _schools(note)
        case HowDone(job):
            return said(JOBS[job].note)
        case Noted(text):
            return said(text)
        case Sections():
            return _sections(note)


def _schools(note: RivalSchools) -> str:
    """That growers disagree, and how to choose."""
    first, *more = (said(Text(other, context="school")) for other in note.others)
    rivals = say('"{other}"', other=first)
    for other in more:
        rivals = say('{others} and "{other}"', others=rivals, other=other)
    return say_count(
        'Growers disagree: "{school}" is one school, {others} the other. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out.",
        'Growers disagree: "{school}" is one school, {others} the others. '
        "Follow one, not both; a [[school]] in season.toml leaves the rest out.",
        len(note.others),
        school=said(Text(note.school, context="school")),
        others=rivals,
    )


def _sections(sections: Sections) -> str:
    """In which parts, and how many years apart."""
    least, most = sections.years_apart
    apart = say("{least} to {most} years", least=least, most=most)
    if least == most:
        apart = say_count("{n} year", "{n} years", most)
    halves = _PARTS.get(sections.parts)
    parts = said(halves) if halves else say("{n} parts", n=sections.parts)
    told = Text("In {parts}, about {years} apart, for {trees}.")
    return say(told, parts=parts, years=apart, trees=said(sections.trees))
