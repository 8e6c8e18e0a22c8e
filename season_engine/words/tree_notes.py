"""What a job now would keep from a tree later, in sentences."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.facts import Day, Text
from season_engine.windows.assessment import Assessment
from season_engine.windows.tree_notes import TreeNote
from season_engine.words import prose
from season_engine.words.naming import job_name
from season_engine.words.speech import say


def tree_note(note: TreeNote) -> str:
    """The whole of it."""
    told = Text("Once it is done, {job} is off when its window opens, about {date}.")
    return say(told, job=job_name(note.job), date=Day(note.opens, year=True))


def notes_in_brief(assessments: Iterable[Assessment]) -> tuple[str, ...]:
    """What is told of trees that are to be worked, in a line of the report; each once."""
    off = {note.job: note for a in assessments for note in a.of_tree}
    told = Text("{job} about {date}")
    jobs = [say(told, job=job_name(note.job), date=Day(note.opens, year=True)) for note in off.values()]
    return (say("That rules out {jobs}.", jobs=prose.listing(jobs)),) if jobs else ()
