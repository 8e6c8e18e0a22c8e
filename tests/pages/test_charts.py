"""What the drawings share: ticks and round amounts."""

from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from season_engine.pages.pictures import charts
from tests.factories import days


def test_ticks_stand_on_the_mondays_of_their_iso_weeks():
    first, last = dt.date(2026, 10, 1), dt.date(2027, 3, 31)
    scale = charts.Scale(first.toordinal(), last.toordinal(), 0.0, (last - first).days)
    ticks = charts.week_ticks(first, last, scale, every=4)
    assert [tick.label for tick in ticks] == ["44", "48", "52", "4", "8", "12"]
    for tick, year in zip(ticks, (2026, 2026, 2026, 2027, 2027, 2027), strict=True):
        week = int(tick.label.split()[-1])
        assert first + days(round(tick.at)) == dt.date.fromisocalendar(year, week, 1)


def test_one_week_number_says_what_it_is():
    ticks = [charts.Tick(at, str(week)) for at, week in ((10.0, 8), (60.0, 12), (110.0, 16))]
    assert [t.label for t in charts.named(ticks)] == ["8", "week 12", "16"]
    assert charts.named([]) == ()


@given(st.floats(1e-6, 1e7))
def test_round_steps_are_few_and_reach_no_further_than_the_top(top):
    steps = charts.round_steps(top)
    assert steps[0] == 0
    assert 2 <= len(steps) <= 4
    assert steps[-1] <= top * 1.00001
