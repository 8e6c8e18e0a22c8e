"""The odds of a frost week by week, against counts made by hand over the same years."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.windows.frost_weeks import WEEKS, frost_odds
from tests.yards import NAGANO, NORTH, SOUTH, readings, view

MONDAY = dt.date(2024, 4, 8)


def years_with_a_frost(years: list[int], level_c: float, first: dt.date, last: dt.date) -> float:
    """Share of the years with such a night between two dates of spring, as they were read."""
    series = readings(NAGANO)
    found = []
    for year in years:
        start = (first.replace(year=year) - series.first_day).days
        nights = series.tmin_c[start : start + (last - first).days + 1]
        assert nights.size == (last - first).days + 1
        found.append(bool((nights <= level_c).any()))
    return float(np.mean(found))


@pytest.mark.parametrize("level_c", [0.0, -2.0])
def test_each_week_is_the_share_of_years_that_had_one(level_c):
    past = view(NAGANO, MONDAY).past  # whole seasons, named by the year before their spring
    springs = [int(season) + 1 for season in past.labels]
    (odds,) = frost_odds(past, MONDAY, [level_c])
    assert len(springs) > 40 and len(odds.weeks) == WEEKS
    assert odds.weeks[0].chance > odds.weeks[-1].chance
    for week in odds.weeks:
        # the readings have gaps, which the traces have filled: a year or so may differ
        expected = years_with_a_frost(springs, level_c, week.first, week.last)
        assert week.chance == pytest.approx(expected, abs=0.025)


def test_weeks_are_those_of_the_calendar_from_tomorrow_on():
    for shift in range(7):
        on = MONDAY + dt.timedelta(days=shift)
        (odds,) = frost_odds(view(NAGANO, MONDAY).season(), on, [0.0])
        assert odds.weeks[0].first == on + dt.timedelta(days=1)
        assert all(week.last.weekday() == 6 for week in odds.weeks)
        for before, after in zip(odds.weeks, odds.weeks[1:], strict=False):
            assert after.first == before.last + dt.timedelta(days=1) and after.first.weekday() == 0


def test_the_milder_level_is_never_less_likely():
    mild, hard = frost_odds(view(NAGANO, MONDAY).past, MONDAY, [-2.0, 0.0])
    assert (mild.level_c, hard.level_c) == (0.0, -2.0)
    assert all(m.chance >= h.chance for m, h in zip(mild.weeks, hard.weeks, strict=True))


def test_nothing_is_told_where_no_week_is_in_doubt():
    july, january = dt.date(2025, 7, 7), dt.date(2025, 1, 6)
    assert frost_odds(view(NORTH, july).season(), july, [0.0, -2.0]) == ()
    assert frost_odds(view(SOUTH, january).season(), january, [0.0]) == ()
    assert frost_odds(view(NORTH, january).season(), january, [30.0]) == (), "certain in every week"


def test_pots_on_a_cold_bench_are_colder_than_the_sensor():
    traces = view(NAGANO, MONDAY).past
    bench = replace(traces, site=replace(traces.site, bench_frost_allowance_c=2.0))
    (at_sensor,), (at_pots,) = frost_odds(traces, MONDAY, [2.0]), frost_odds(bench, MONDAY, [0.0])
    assert at_pots.weeks == at_sensor.weeks
