"""Ten years of four trees, month by month: what the report says of each, and what its grower then does.

    python -m tests.benchmarks.ten_years [TREE]...

The grower does each Monday what is due and may be done that day, and what isn't due but may be in one week
of eight; ties and wire come off when that is asked for; each May it is noted that the year was a good one for
the collected pine. Everything is noted, so that each line rests on what those before it led to. Told are the
first Mondays of the months, and those on which something was done.
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator

from season_engine.note import Details, Note, Off
from season_engine.report.contents import SiteReport
from season_engine.report.site_report import site_report
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.tree import Tree
from season_engine.trees.follow_ups import FollowUp
from season_engine.verify.own_record import OwnRecord
from season_engine.windows.assessment import Assessment
from season_engine.windows.yard import Yard
from season_engine.words.follow_ups import follow_up_lines
from season_engine.words.speech import speaking
from season_engine.words.window_lines import resting_trees_sentence, tree_lines
from tests.benchmarks.markdown import show
from tests.yards import NORTH, SOUTH, view

FIRST, YEARS = 2015, 10
DUG, CAME = dt.date(2013, 4, 6), dt.date(2015, 3, 14)
TREES: dict[str, tuple[Site, Tree]] = {
    "collected": (
        NORTH,
        Tree(
            "pine",
            NORTH.name,
            "Pinus sylvestris",
            "Marl",
            size="large",
            origin="collected",
            collected=DUG,
            root_parts=3,
        ),
    ),
    "decandled": (
        SOUTH,
        Tree(
            "black",
            SOUTH.name,
            "Pinus thunbergii",
            "Mast",
            stage="refined",
            vigour="strong",
            last_repotted=dt.date(2012, 8, 11),
        ),
    ),
    "maple": (
        NORTH,
        Tree(
            "maple",
            NORTH.name,
            "Acer palmatum",
            "Tinder",
            stage="training",
            last_repotted=dt.date(2014, 3, 22),
        ),
    ),
    "imported": (
        SOUTH,
        Tree(
            "juniper",
            SOUTH.name,
            "Juniperus chinensis",
            "Ketch",
            stage="refined",
            arrived=CAME,
            other_hemisphere=True,
        ),
    ),
}


def months(key: str) -> Iterator[str]:
    """What each month's first report says, and what was done in each week."""
    site, tree = TREES[key]
    notes: list[Note] = []
    first = dt.date(FIRST, 1, 5)  # a Monday
    for week in range(52 * YEARS):
        on = first + dt.timedelta(weeks=week)
        yard = Yard(view(site, on), load_catalogue(), [tree], notes)
        report = site_report(yard, OwnRecord(), None)
        done = _done(report, week)
        notes += [_note(one, on) for one in done]
        notes += [_answer(one, on) for one in report.follow_ups if one.first <= on and one.stays]
        if key == "collected" and on.month == 5 and on.day <= 7:
            notes.append(Note(on, site.name, tree.id, tree.species, details=Details(season="good")))
        if on.day <= 7 or done:
            yield f"{on}  {' / '.join(_told(report, on))}"
        if done:
            yield f"            done: {', '.join(one.job for one in done)}"


def _told(report: SiteReport, on: dt.date) -> Iterator[str]:
    with speaking("en"):
        yield from (line.text for line in tree_lines(report))
        if resting := resting_trees_sentence(report):
            yield resting
        for line in follow_up_lines(report, on):
            yield f"[{line.lead}: {line.text}]"


def _done(report: SiteReport, week: int) -> list[Assessment]:
    """What the grower does: one heavy job a day, and what is due before what may be."""
    may = [a for a in report.trees if a.today == "do" and a.need and not a.left_alone]
    wanted = [a for a in may if a.due or week % 8 == 0]
    heavy = [a for a in wanted if JOBS[a.job].heavy][:1]
    others = {a.job: a for a in wanted if not JOBS[a.job].heavy}
    return [*heavy, *(a for job, a in others.items() if job not in {one.job for one in heavy})]


def _answer(one: FollowUp, on: dt.date) -> Note:
    """Wire or ties taken off once that is asked for."""
    off: Off = "wire" if one.job == "wiring" else "ties"
    return Note(on, "", one.tree, details=Details(off=frozenset({off})))


def _note(a: Assessment, on: dt.date) -> Note:
    share = 1 / 3 if a.job == "sectional-repotting" else None
    return Note(on, a.site, a.tree, a.species, job=a.job, details=Details(share=share))


if __name__ == "__main__":
    for name in sys.argv[1:] or TREES:
        show(f"## {TREES[name][1].name}, {TREES[name][1].species}", *months(name), "")
