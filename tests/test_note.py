from __future__ import annotations

import datetime as dt
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from season_engine.note import Note, notes_until, taken_back

FIRST = dt.date(2024, 3, 1)
DAYS = 8


def day(number: int) -> dt.date:
    return FIRST + dt.timedelta(days=number)


def note(
    on: int, entered: int | None = None, *, bbch: int = 1, withdraws: bool = False, line: int = 0
) -> Note:
    written = None if entered is None else day(entered)
    return Note(day(on), "hut", species="Larix", bbch=bbch, entered=written, withdraws=withdraws, line=line)


@st.composite
def journals(draw: st.DrawFn) -> tuple[Note, ...]:
    """Lines of few kinds on few days, in any order of entry, so that many say the same."""
    lines = draw(
        st.lists(
            st.tuples(st.integers(0, DAYS), st.integers(0, DAYS), st.integers(1, 2), st.booleans()),
            max_size=14,
        )
    )
    return tuple(
        note(on, max(on, entered), bbch=bbch, withdraws=withdraws, line=line)
        for line, (on, entered, bbch, withdraws) in enumerate(lines, start=2)
    )


@given(notes=journals(), cut=st.integers(0, DAYS), on=st.integers(0, DAYS))
def test_cutting_the_journal_where_it_was_entered_changes_no_day_before(
    notes: tuple[Note, ...], cut: int, on: int
) -> None:
    there = tuple(one for one in notes if one.date <= day(cut) and (one.entered or one.date) <= day(cut))
    on = min(on, cut)
    assert notes_until(there, day(on)) == notes_until(notes, day(on))


@given(notes=journals(), cut=st.integers(0, DAYS))
def test_a_journal_whose_withdrawals_all_fit_has_them_fit_wherever_it_is_cut(
    notes: tuple[Note, ...], cut: int
) -> None:
    """So a file that can be read can be read as it was on any day."""
    while True:
        taken = taken_back(notes)
        fitting = tuple(one for place, one in enumerate(notes) if not one.withdraws or place in taken)
        if fitting == notes:
            break
        notes = fitting
    there = [one for one in notes if one.known_from <= day(cut)]
    assert len(taken_back(there)) == sum(one.withdraws for one in there)


@given(notes=journals(), on=st.integers(0, DAYS))
def test_what_stands_is_what_was_written_less_what_was_taken_back(notes: tuple[Note, ...], on: int) -> None:
    there = [one for one in notes if one.known_from <= day(on)]
    standing = notes_until(notes, day(on))
    withdrawn = len(taken_back(there))
    assert len(standing) == sum(not one.withdraws for one in there) - withdrawn
    assert not any(one.withdraws for one in standing)


def test_a_late_entry_is_not_there_before_it_was_written() -> None:
    late = note(1, 5)
    assert [len(notes_until([late], day(on))) for on in (0, 1, 4, 5)] == [0, 0, 0, 1]
    assert notes_until([late], day(1), read_on=day(5)) == (late,)
    assert notes_until([late], day(0), read_on=day(5)) == ()


def test_a_withdrawal_takes_the_last_line_alike_from_the_day_it_is_entered() -> None:
    first, second = note(1, line=2), note(1, line=3)
    back = replace(note(1, 4, withdraws=True), line=4)
    assert notes_until([first, second, back], day(3)) == (first, second)
    assert notes_until([first, second, back], day(4)) == (first,)
    assert taken_back([first, second, back]) == {2: 1}
    assert taken_back([back, first]) == {}
    assert notes_until([note(1, bbch=2), back], day(6)) == (note(1, bbch=2),)
