"""A tree as it is on a day, from its row and the notes that were there."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.note import Details, Note, notes_until
from season_engine.pot import Pot
from season_engine.tree import Tree
from season_engine.trees.history import history_of, kept

ON = dt.date(2026, 6, 1)
TREE = Tree("t1", "yard", "Acer palmatum", stage="training", last_repotted=dt.date(2022, 3, 1))


def note(date: str, job: str | None = None, **details: Any) -> Note:
    for key in ("states", "signs", "off"):
        if key in details:
            details[key] = frozenset(details[key])
    return Note(dt.date.fromisoformat(date), "yard", "t1", job=job, details=Details(**details))


def history(*notes: Note, on: dt.date = ON):
    return history_of(TREE, notes, on)


def test_what_was_noted_last_counts_and_what_was_never_noted_stays_as_in_its_row() -> None:
    found = history(note("2024-01-01", states={"weak"}), note("2025-01-01", states={"strong", "refined"}))
    assert (found.tree.vigour, found.tree.stage, found.vigour_on) == (
        "strong",
        "refined",
        dt.date(2025, 1, 1),
    )
    assert (history().tree.vigour, history().tree.stage) == ("normal", "training")


def test_a_new_pot_and_another_yard() -> None:
    pot = Pot.of_tree(12.0)
    found = history(note("2025-03-01", "repotting", pot="12 l", pot_size=pot, moved_to="hill"))
    assert (found.tree.pot, found.tree.site, found.roots_on) == (pot, "hill", dt.date(2025, 3, 1))


def test_ill_until_it_is_well_again() -> None:
    ill, well = note("2025-05-01", states={"sick"}), note("2025-09-01", states={"well"})
    assert (history(ill).sick_on, history(ill).well_on) == (dt.date(2025, 5, 1), None)
    assert (history(ill, well).sick_on, history(ill, well).well_on) == (None, dt.date(2025, 9, 1))


def test_signs_at_the_roots_are_answered_by_work_on_them() -> None:
    seen = note("2025-08-01", signs={"drains slowly"})
    assert set(history(seen).signs) == {"drains slowly"}
    assert history(seen, note("2026-03-01", "repotting")).signs == {}


def test_wire_stays_on_until_it_is_off() -> None:
    on, off = note("2025-11-01", "wiring"), note("2026-04-01", off={"wire"})
    assert history(on).wired_on == dt.date(2025, 11, 1)
    assert history(on, off).wired_on is None
    assert history(on, off, note("2026-05-01", "wiring")).wired_on == dt.date(2026, 5, 1)


@pytest.mark.parametrize("state", ["dead", "given away"])
def test_a_tree_that_went_is_kept_no_longer(state: str) -> None:
    gone = note("2026-05-20", states={state})
    assert history(gone).gone == dt.date(2026, 5, 20)
    assert [len(kept([TREE], notes, ON, {"yard"})) for notes in ([], [gone])] == [1, 0]


@pytest.mark.parametrize(
    ("details", "amount", "said"),
    [
        ({}, "medium", False),
        ({"amount": "light"}, "light", True),
        ({"share": 0.2}, "medium", True),
        ({"share": 0.3}, "heavy", True),
        ({"amount": "heavy"}, "heavy", True),
    ],
)
def test_a_pruning_of_which_nobody_said_how_much_counts_as_medium(details, amount: str, said: bool) -> None:
    """Heavy is three tenths of the foliage: common practice, no source."""
    (work,) = (
        one
        for one in history(note("2026-01-10", "structural-pruning", **details)).works
        if one.job != "repotting"
    )
    assert (work.amount, work.said) == (amount, said)


days = st.dates(dt.date(2020, 1, 1), dt.date(2026, 12, 31))
written = st.builds(
    Note,
    date=days,
    site=st.just("yard"),
    tree=st.just("t1"),
    job=st.sampled_from((None, "repotting", "wiring", "structural-pruning")),
    details=st.builds(
        Details,
        states=st.frozensets(st.sampled_from(("weak", "strong", "sick", "well", "dead")), max_size=1),
        off=st.frozensets(st.sampled_from(("wire", "ties")), max_size=1),
    ),
    entered=st.none() | days,
)


@settings(max_examples=200)
@given(st.lists(written, max_size=12), days)
def test_cutting_the_journal_at_a_day_gives_what_that_day_gave(notes: list[Note], on: dt.date) -> None:
    cut = [one for one in notes if one.date <= on and (one.entered or one.date) <= on]
    assert history_of(TREE, notes_until(notes, on), on) == history_of(TREE, notes_until(cut, on), on)
