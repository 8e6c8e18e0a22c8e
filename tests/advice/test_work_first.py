"""The order of the week's work beside that of two growers who ranked twenty yards by hand.

Tables and rankings: tests/data/mondays, written and ranked by people before this ordering was; common
practice, no source.
"""

from __future__ import annotations

import csv
import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from season_engine.advice.choice import odds_lost, work_first
from season_engine.species.jobs import JOBS
from season_engine.tree import Tree
from season_engine.trees.need import Need
from season_engine.trees.need_why import Weak
from season_engine.windows.assessment import Assessment, Quantiles, WeekAhead
from tests.factories import an_assessment

FOLDER = Path(__file__).parents[1] / "data" / "mondays"
GOOD = ("good_now", "good_1", "good_2", "good_3", "good_4")
Key = tuple[str, str]  # tree and job


def rows() -> Mapping[str, list[dict[str, str]]]:
    found: defaultdict[str, list[dict[str, str]]] = defaultdict(list)
    with (FOLDER / "yards.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found[row["yard"]].append(row)
    return found


def ranked(reader: str) -> Mapping[str, list[Key]]:
    found: defaultdict[str, dict[int, Key]] = defaultdict(dict)
    with (FOLDER / f"ranked_{reader}.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found[row["yard"]][int(row["rank"])] = row["tree"], row["job"]
    return {yard: [places[rank] for rank in sorted(places)] for yard, places in found.items()}


def assessed(row: dict[str, str]) -> list[Assessment]:
    """A row as the engine would have it; another window later in the year is an assessment of its own."""
    monday = dt.date.fromisoformat(row["week"])
    good = [float(row[name]) for name in GOOD]
    closes = (
        dt.date.fromisoformat(row["last_good_day"])
        if row["last_good_day"]
        else monday + dt.timedelta(days=60)
    )
    ahead = tuple(
        WeekAhead(monday + dt.timedelta(weeks=week), chance, 0.0, (), chance)
        for week, chance in enumerate(good)
    )
    provenance = "memory" if row["certainty"] == "low" else "practice"
    need = None if row["need"] == "" else Need(row["need"], Weak(), "made")  # type: ignore[arg-type]
    made = an_assessment(
        as_of=monday,
        tree=row["tree"],
        species=row["species"],
        job=row["job"],
        window=row["window"],
        today=row["today"],
        ahead=ahead,
        need=need,
        closes=closes,
        opens=monday - dt.timedelta(days=9),
    )
    reasons = tuple(replace(reason, provenance=provenance) for reason in made.reasons)
    made = replace(made, reasons=reasons, verdict="open")
    if row["alternative_later"] != "yes":
        return [made]
    later = monday + dt.timedelta(days=120)
    again = replace(
        made,
        window="later",
        verdict="wait",
        opens=Quantiles(later, later, later),
        closes=Quantiles(later, later, later),
    )
    return [made, again]


def ours(yard: list[dict[str, str]]) -> list[Key]:
    trees = [
        Tree(row["tree"], "yard", row["species"], stage=row["stage"], size=row["size"])  # type: ignore[arg-type]
        for row in yard
    ]
    told = work_first([a for row in yard for a in assessed(row)], trees)
    return [(a.tree or "", a.job) for choice in told for a in choice.assessments]


def test_the_first_of_twenty_yards_is_mostly_the_growers_first_and_so_are_the_first_three() -> None:
    """Of what is due; what may be done and isn't is told below it, and growers put some of that on top."""
    firsts, threes = [], []
    for reader in "ab":
        order = ranked(reader)
        for yard, table in rows().items():
            due = {
                (row["tree"], row["job"])
                for row in table
                if row["need"] == "due" and JOBS[row["job"]].told_in_full  # a graft makes another tree
            }
            told = ours(table)
            assert set(told) == due, "none is left out"
            theirs = [key for key in order[yard] if key in due]
            firsts.append(told[:1] == theirs[:1])
            threes.append(len(set(told[:3]) & set(theirs[:3])) / max(1, len(theirs[:3])))
    assert sum(firsts) / len(firsts) >= 0.75
    assert sum(threes) / len(threes) >= 0.85


def test_waiting_loses_nothing_where_the_odds_stay() -> None:
    assert odds_lost([0.9] * 5) < 0.05 * odds_lost([0.9, 0.4, 0.2, 0.1, 0.0])
    assert odds_lost([0.2, 0.5, 0.9, 0.9, 0.9]) == odds_lost([0.9] * 5), "what gains by waiting loses nothing"


def test_a_job_is_told_once_for_a_tree_in_the_window_that_weighs_most() -> None:
    """As where schools disagree: to repot in one window is to have done with the other."""
    better = next(
        choice.first for yard in rows().values() for row in yard for choice in work_first(assessed(row))
    )
    poorer_weeks = tuple(replace(week, chance_good=week.chance_good / 2) for week in better.ahead)
    poorer = replace(better, window="later school", ahead=poorer_weeks)
    another = replace(poorer, tree="another")
    for told in ([better, poorer, another], [another, poorer, better]):
        found = {a for choice in work_first(told) for a in choice.assessments}
        assert {(a.tree, a.window) for a in found} == {
            (better.tree, better.window),
            ("another", "later school"),
        }
