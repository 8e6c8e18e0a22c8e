"""What a tree's own past says of a job that it may have, in sentences."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.facts import Day, Month, Text
from season_engine.windows.assessment import Assessment
from season_engine.windows.tree_notes import AfterHeavy, Due, InSections, NotDue, RootsLast, TreeNote
from season_engine.words import prose
from season_engine.words.naming import job_name
from season_engine.words.speech import say


def tree_note(note: TreeNote) -> str:
    """The whole of it."""
    match note:
        case AfterHeavy(job, on):
            told = Text(
                "It had {job} on {date}, this season, and may be repotted after it only because it is noted "
                "as strong. Do it where it has kept its vigour and water drains slowly; else next season."
            )
            return say(told, job=job_name(job), date=Day(on, year=True))
        case Due(last):
            told = Text(
                "Its roots were last worked in {month}, and such a tree is repotted every {years} years: it "
                "is due."
            )
            return say(told, month=Month(last, year=True), years=years_between(note))
        case NotDue(last):
            told = Text(
                "Its roots were last worked in {month}, and such a tree is repotted every {years} years: not "
                "due yet, unless water hardly drains."
            )
            return say(told, month=Month(last, year=True), years=years_between(note))
        case InSections():
            return say(
                "It was collected: the root ball of such a tree is renewed a section at a time, over years."
            )


def notes_in_brief(assessments: Iterable[Assessment]) -> tuple[str, ...]:
    """What is told of trees that are to be worked, in a line of the report; each once."""
    notes = dict.fromkeys(note for a in assessments for note in a.of_tree)
    return tuple(_after(note) for note in notes if isinstance(note, AfterHeavy))


def _after(note: AfterHeavy) -> str:
    told = Text("After {job} on {date} only because it is strong, and only if water drains slowly.")
    return say(told, job=job_name(note.job), date=Day(note.on))


def years_between(note: RootsLast) -> str:
    """``three to five``."""
    least, most = prose.number(note.least_years), prose.number(note.most_years)
    return least if least == most else say("{least} to {most}", least=least, most=most)
