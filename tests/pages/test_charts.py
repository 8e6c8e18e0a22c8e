"""What the drawings share: months and round amounts."""

from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from season_engine.pages.pictures import charts
from season_engine.words.speech import speaking
from tests.factories import days


def test_months_are_named_in_the_middle_of_their_days_and_begin_on_the_first():
    first, last = dt.date(2026, 11, 20), dt.date(2027, 2, 28)
    scale = charts.Scale(first.toordinal(), last.toordinal(), 0.0, 4.0 * (last - first).days)
    ticks = charts.month_ticks(first, last, scale)
    assert [tick.label for tick in ticks] == ["Nov", "Dec", "Jan", "Feb"]
    assert ticks[1].at == scale(dt.date(2026, 12, 16).toordinal() + 0.5)
    assert charts.month_starts(first, last, scale) == tuple(
        scale(day.toordinal()) for day in (dt.date(2026, 12, 1), dt.date(2027, 1, 1), dt.date(2027, 2, 1))
    )


def test_a_month_without_room_for_its_name_has_none():
    first, last = dt.date(2026, 11, 28), dt.date(2027, 1, 31)
    scale = charts.Scale(first.toordinal(), last.toordinal(), 0.0, 64.0)
    assert [tick.label for tick in charts.month_ticks(first, last, scale)] == ["Dec", "Jan"]


def test_months_are_named_in_the_language_that_is_spoken():
    first, last = dt.date(2026, 3, 1), dt.date(2026, 5, 31)
    scale = charts.Scale(first.toordinal(), last.toordinal(), 0.0, 300.0)
    with speaking("de"):
        assert [tick.label for tick in charts.month_ticks(first, last, scale)] == ["Mär", "Apr", "Mai"]


@given(st.dates(dt.date(2000, 1, 1), dt.date(2090, 1, 1)), st.integers(1, 800))
def test_months_stand_inside_and_in_order(first, length):
    last = first + days(length)
    scale = charts.Scale(first.toordinal(), last.toordinal(), 9.0, 351.0)
    for places in ([tick.at for tick in charts.month_ticks(first, last, scale)],
                   list(charts.month_starts(first, last, scale))):  # fmt: skip
        assert places == sorted(set(places))
        assert all(9.0 <= place <= 351.0 for place in places)


@given(st.floats(1e-6, 1e7))
def test_round_steps_are_few_and_reach_no_further_than_the_top(top):
    steps = charts.round_steps(top)
    assert steps[0] == 0
    assert 2 <= len(steps) <= 4
    assert steps[-1] <= top * 1.00001
