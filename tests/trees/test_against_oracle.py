"""Need and spacing held against an oracle of plain dates, over random journals.

The oracle was written from the growers' tables alone by somebody who had not seen the rules of the package.
Common practice, written from memory, no source.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.note import Details, Note
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.species.schema import Window
from season_engine.species.spacing import Asked, spacing
from season_engine.tree import Tree
from season_engine.trees.growth import GrowthDates
from season_engine.trees.history import history_of
from season_engine.trees.need import TreeCase, need_of, tree_case
from season_engine.trees.spacing import Rules
from tests.trees import spacing_oracle as oracle

FIRST, LAST = dt.date(2020, 1, 1), dt.date(2025, 12, 31)
CATALOGUE = load_catalogue()
NORTH, SOUTH = Site("yard", 50.0, 0.0), Site("yard", -38.0, 145.0)
ASKED: dict[Asked, str] = {
    "root work": "repotting",
    "section": "sectional-repotting",
    "decandling": "decandling",
    "whole defoliation": "whole defoliation",
    "partial defoliation": "partial defoliation",
    "trimming": "trimming",
    "pinching": "pinching",
    "candle-shortening": "candle-shortening",
    "cut-back": "cut-back",
    "needle-work": "needle-work",
    "pruning": "structural-pruning",
    "heavy pruning": "heavy pruning",
    "big bend": "big bend",
    "after-bloom-pruning": "after-bloom-pruning",
}
WORKS = (
    "repotting", "sectional-repotting", "slip-potting", "decandling", "defoliation", "structural-pruning",
    "needle-work", "trimming", "pinching", "candle-shortening", "cut-back", "after-bloom-pruning", "wiring",
    "deadwood", "collecting", "arrival", "sick", "well",
)  # fmt: skip

days = st.dates(FIRST, LAST)


def _with_partial(told: dict[str, Any]) -> dict[str, Any]:
    """A light defoliation is a partial one, which the oracle is told as medium."""
    partial = told["work"] == "defoliation" and told["amount"] == "light"
    return {**told, "amount": "medium"} if partial else told


trees = st.builds(
    oracle.OracleTree,
    species=st.sampled_from(sorted(oracle.KINDS)),
    stage=st.sampled_from(oracle.STAGES),
    vigour=st.sampled_from(("weak", "normal", "strong")),
    size=st.sampled_from(("small", "medium", "large")),
    south=st.booleans(),
)
events = st.builds(
    lambda **told: oracle.Event(**_with_partial(told)),
    date=days,
    work=st.sampled_from(WORKS),
    amount=st.sampled_from(("", "light", "medium", "heavy")),
    share=st.sampled_from((None, 1 / 2, 1 / 3, 1 / 4)),
    abroad=st.booleans(),
)


journals = st.lists(events, max_size=7)


def hard_days(south: bool) -> list[dt.date]:
    """A flush hardens in early summer of each year."""
    return [dt.date(year, 12 if south else 6, 5 + year % 9) for year in range(2015, 2029)]


def a_case(tree: oracle.OracleTree, history: Sequence[oracle.Event], day: dt.date) -> TreeCase:
    """What the package makes of the same tree and journal."""
    site = SOUTH if tree.south else NORTH
    told: dict[str, Any] = {"size": tree.size, "stage": tree.stage, "vigour": tree.vigour}
    own = Tree("t1", "yard", tree.species, **told)
    notes = [_note(event) for event in sorted(history, key=lambda event: event.date) if event.date <= day]
    species = CATALOGUE.find(tree.species)
    found = history_of(own, notes, day)
    rules = Rules(species, found.tree, spacing().rule, spacing().most)
    return tree_case(found, rules, GrowthDates(site, tuple(hard_days(tree.south))), day)


def _note(event: oracle.Event) -> Note:
    state = {
        "arrival": "arrived from the other hemisphere" if event.abroad else "arrived",
        "sick": "sick",
        "well": "well",
    }.get(event.work)
    if state:
        return Note(event.date, "yard", "t1", details=Details(states=frozenset({state})))  # type: ignore[arg-type]
    of_roots = event.work == "sectional-repotting"
    amount = event.amount or None
    details = Details(amount=amount, share=event.share if of_roots else None)  # type: ignore[arg-type]
    return Note(event.date, "yard", "t1", job=event.work, details=details)


def plain(history: Sequence[oracle.Event]) -> list[oracle.Event]:
    """One arrival and one health at most a day, in order, as a journal of a tree has them."""
    arrivals = [event for event in history if event.work == "arrival"]
    kept = [event for event in history if event.work not in ("arrival", "sick", "well")]
    by_day = {event.date: event for event in history if event.work in ("sick", "well")}
    return sorted([*kept, *arrivals[:1], *by_day.values()], key=lambda event: event.date)


@settings(max_examples=400, deadline=None)
@given(trees, journals, days)
def test_what_is_barred_and_until_when(
    tree: oracle.OracleTree, history: list[oracle.Event], day: dt.date
) -> None:
    history, hard = plain(history), hard_days(tree.south)
    case = a_case(tree, history, day)
    for asked, theirs in ASKED.items():
        if case.history.sick_on or (asked == "decandling" and tree.vigour == "weak"):
            continue  # decided before the rules of spacing are asked
        expected = oracle.allowed_from(tree, history, hard, theirs, day)
        assert case.allowed_from(asked, day) == expected, (asked, case.bars(asked, day))


def windows_of(species: str) -> list[Window]:
    known = CATALOGUE.find(species)
    return [one for one in known.windows if one.job in _ASKED_OF_JOBS]


_ASKED_OF_JOBS = {*ASKED.values(), "defoliation"} - {"whole defoliation", "partial defoliation"}


@settings(max_examples=400, deadline=None)
@given(
    trees,
    st.lists(events, max_size=6),
    days,
    st.integers(0, 120),
    st.sets(st.sampled_from(sorted(oracle.SIGNS))),
)
def test_what_is_due_may_be_done_or_is_left(
    tree: oracle.OracleTree, history: list[oracle.Event], day: dt.date, ahead: int, signs: set[str]
) -> None:
    """Advice breaks no rule, and every tree that is due and not barred is told so."""
    history, hard, opens = plain(history), hard_days(tree.south), day + dt.timedelta(days=ahead)
    seen = Note(day, "yard", "t1", details=Details(signs=frozenset(signs)))  # type: ignore[arg-type]
    case = a_case(tree, history, day)
    case = tree_case(
        history_of(case.history.tree, [*map(_note, [e for e in history if e.date <= day]), seen], day),
        case.rules, case.growth, day,
    )  # fmt: skip
    for window in windows_of(tree.species):
        if window.job == "sectional-repotting":
            continue
        asked = window.job
        if asked == "defoliation":
            asked = "partial defoliation" if window.amount == "medium" else "whole defoliation"
        expected = oracle.need(tree, history, hard, frozenset(signs), opens, asked, day)
        assert need_of(case, window, opens).state == expected, (window.job, window.name)
