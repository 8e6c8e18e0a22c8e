"""Trees that died, were given away or moved: from that day on, and as far as it was known."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.note import Details, Note, State, notes_until
from season_engine.tree import Tree
from season_engine.trees.history import history_of, trees_kept

DAY = dt.date(2024, 3, 1)
TREE = Tree("t1", "hut", "Larix", name="Moss")
OTHER = Tree("t2", "ridge", "Larix")


def day(number: int) -> dt.date:
    return DAY + dt.timedelta(days=number)


def note(on: int, *states: State, moved_to: str = "", entered: int | None = None) -> Note:
    details = Details(states=frozenset(states), moved_to=moved_to)
    return Note(day(on), "hut", "t1", details=details, entered=None if entered is None else day(entered))


def gone(notes: list[Note], on: int, tree: Tree = TREE) -> dt.date | None:
    return history_of(tree, notes_until(notes, day(on)), day(on)).gone


@pytest.mark.parametrize("state", ["dead", "given away"])
def test_it_is_gone_from_the_day_it_went(state: State) -> None:
    assert [gone([note(3, state)], on) for on in (2, 3, 9)] == [None, day(3), day(3)]


def test_told_twice_it_went_the_first_time() -> None:
    assert gone([note(5, "dead"), note(3, "given away")], 9) == day(3)


def test_one_that_came_back_is_there() -> None:
    assert gone([note(3, "given away"), note(6, "arrived")], 9) is None
    assert gone([note(3, "given away"), note(6, "arrived"), note(8, "dead")], 9) == day(8)


def test_what_trees_csv_says_counts_from_its_day() -> None:
    tree = Tree("t1", "hut", "Larix", dead=day(4))
    assert [gone([], on, tree) for on in (3, 4)] == [None, day(4)]


def test_a_yard_keeps_the_trees_that_stand_in_it() -> None:
    notes = [note(2, moved_to="ridge"), note(5, moved_to="hut"), note(7, "dead")]

    def kept(site: str, on: int) -> list[str]:
        there = notes_until(notes, day(on))
        return [tree.id for tree in trees_kept([TREE, OTHER], there, day(on), {site})]

    assert [kept("hut", on) for on in (1, 2, 5, 7)] == [["t1"], [], ["t1"], []]
    assert [kept("ridge", on) for on in (1, 2, 5, 7)] == [["t2"], ["t1", "t2"], ["t2"], ["t2"]]


def test_what_was_entered_late_was_not_known() -> None:
    assert [gone([note(2, "dead", entered=6)], on) for on in (5, 6)] == [None, day(2)]
