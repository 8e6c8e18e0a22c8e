"""Filled days are likely ones, what was read is never changed, and ours is better than the plain ways."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.weather.checks import check_and_fill
from season_engine.weather.filling import filled
from season_engine.weather.second.yard_terms import in_yard_terms, laid_on
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from tests import yards
from tests.benchmarks.bench_filling import errors_c
from tests.yards import NAGANO, readings

TAKAYAMA = readings(yards.TAKAYAMA)
YEARS = (dt.date(2010, 1, 1), 6 * 365)


def part(series: DailySeries) -> DailySeries:
    """Six years of it, to be changed at will."""
    return laid_on(series, *YEARS)


@pytest.mark.parametrize("days", [5, 20, 60])
def test_ours_beats_both_plain_ways(days: int) -> None:
    # Real days of Nagano, with Takayama 100 km away beside it. Source: Japan Meteorological Agency.
    found = errors_c(readings(NAGANO), TAKAYAMA, days, seed=7)
    for extreme in (0, 1):
        plain = min(found["Straight line"][extreme], found["Climatology"][extreme])
        assert found["Ours"][extreme] < plain
        assert found["Ours, with the neighbour"][extreme] < 0.65 * plain


@settings(max_examples=25, deadline=None)
@given(
    holes=st.lists(
        st.tuples(st.integers(0, 2100), st.integers(1, 120), st.sampled_from([0, 1, 2])), max_size=6
    ),
    beside=st.booleans(),
)
def test_filling_never_changes_what_was_read(holes: list[tuple[int, int, int]], beside: bool) -> None:
    series = part(readings(NAGANO))
    values = np.array([series.tmin_c, series.tmax_c])
    for first, days, rows in holes:
        values[[rows] if rows < 2 else [0, 1], first : first + days] = np.nan
    holed = DailySeries(series.first_day, *values)
    likely = in_yard_terms(part(TAKAYAMA), holed) if beside else None
    whole = filled(holed, likely)
    result = np.array([whole.tmin_c, whole.tmax_c])
    assert not np.isnan(result).any()
    np.testing.assert_array_equal(result[~np.isnan(values)], values[~np.isnan(values)])
    assert (result[0] <= result[1]).all()


def test_what_is_known_fades_with_the_days() -> None:
    """After a hot spell the first filled days are warm, those a month on are usual."""
    series = part(readings(NAGANO))
    tmin_c, tmax_c = series.tmin_c.copy(), series.tmax_c.copy()
    tmin_c[1190:1200] += 6.0
    tmax_c[1190:1200] += 6.0
    tmin_c[1200:1260] = tmax_c[1200:1260] = np.nan
    hot = filled(DailySeries(series.first_day, tmin_c, tmax_c))
    tmin_c[1190:1200] -= 6.0
    tmax_c[1190:1200] -= 6.0
    plain = filled(DailySeries(series.first_day, tmin_c, tmax_c))
    warmer = (hot.tmax_c - plain.tmax_c)[1200:1260]
    assert warmer[0] > 1.5
    assert warmer[0] > warmer[3] > warmer[10] - 0.2
    assert np.abs(warmer[30:]).max() < 0.5


def test_the_other_extreme_of_the_day_counts() -> None:
    series = part(readings(NAGANO))
    gap = slice(1000, 1010)
    guesses = []
    for shift in (-8.0, 8.0):
        tmin_c, tmax_c = series.tmin_c.copy(), series.tmax_c.copy()
        tmin_c[gap] += shift
        tmax_c[gap] = np.nan
        guesses.append(filled(DailySeries(series.first_day, tmin_c, tmax_c)).tmax_c[gap])
    assert (guesses[1] > guesses[0]).all()


def test_a_second_source_is_taken_to_the_yards_level_by_season() -> None:
    """A neighbour that is 4 degC colder in winter and level in summer, known from other years."""
    yard = part(readings(NAGANO))
    month = yard.days.astype("datetime64[M]").astype(int) % 12
    winter = np.isin(month, (11, 0, 1))
    near = DailySeries(yard.first_day, yard.tmin_c - 4.0 * winter, yard.tmax_c - 4.0 * winter)
    gap = slice(1461, 1461 + 730)
    holed = DailySeries(yard.first_day, yard.tmin_c.copy(), yard.tmax_c.copy())
    holed.tmin_c[gap], holed.tmax_c[gap] = np.nan, np.nan
    likely = in_yard_terms(near, holed)
    assert likely is not None
    off = np.abs(likely.tmin_c - yard.tmin_c)[gap]
    assert off[winter[gap]].mean() < 1.0
    assert off.mean() < 0.6


@pytest.mark.parametrize(("days", "enough"), [(59, False), (60, True)])
def test_a_second_source_needs_sixty_common_days(days: int, enough: bool) -> None:
    yard, near = laid_on(readings(NAGANO), YEARS[0], days), part(TAKAYAMA)
    weather = check_and_fill(yard, source=GivenOrigin("logger"), second=near)
    if enough:
        assert weather.adjusted is not None and weather.adjusted.sum() == len(near) - days
        assert weather.warnings == ()
    else:
        assert weather.adjusted is None
        assert notice_text(weather.warnings[0]).startswith("the second source shares fewer than 60 days")


def test_latest_days_come_from_the_second_source_and_are_marked() -> None:
    yard = laid_on(readings(NAGANO), YEARS[0], 2000)
    weather = check_and_fill(yard, source=GivenOrigin("logger"), second=part(TAKAYAMA))
    assert weather.adjusted is not None
    assert (weather.last_reading, weather.data_through) == (yard.last_day, part(TAKAYAMA).last_day)
    assert weather.adjusted[2000:].all() and not weather.observed[2000:].any()
    assert fault_text(weather.faults[-1]).endswith(
        "readings are missing since the last one for 190 days; "
        "taken from the second source, adjusted to this yard."
    )
    truth = part(readings(NAGANO))
    assert np.abs(weather.series.tmax_c - truth.tmax_c)[2000:].mean() < 2.0


def test_a_false_reading_is_said_to_be_taken_from_where_it_is_taken() -> None:
    yard = part(readings(NAGANO))
    yard.tmax_c[700] = 85.0
    alone = check_and_fill(yard, source=GivenOrigin("logger"))
    beside = check_and_fill(yard, source=GivenOrigin("logger"), second=part(TAKAYAMA))
    for weather, ending in ((alone, "and filled."), (beside, "and taken from the second source.")):
        (text,) = (fault_text(fault) for fault in weather.faults if fault.kind == "range")
        assert text.endswith(f"was never reached on Earth; it is left out {ending}")


def test_false_readings_of_the_second_source_are_not_taken() -> None:
    near = part(TAKAYAMA)
    odd = DailySeries(near.first_day, near.tmin_c.copy(), near.tmax_c)
    yard = part(readings(NAGANO))
    yard.tmin_c[700:720] = yard.tmax_c[700:720] = np.nan
    odd.tmin_c[710] = -60.0
    weather = check_and_fill(yard, source=GivenOrigin("logger"), second=odd)
    assert weather.adjusted is not None
    assert not weather.adjusted[710] and weather.adjusted[[709, 711]].all()
    assert weather.series.tmin_c[710] > -20


def test_a_far_gap_is_filled_the_same_whatever_lies_elsewhere_in_later_years() -> None:
    """The cut: `raw` ends at the day judged, and nothing but `raw` is looked at."""
    series = readings(NAGANO)
    on = dt.date(2003, 5, 17)
    near = TAKAYAMA.cut(on)
    first = check_and_fill(series.cut(on), source=GivenOrigin("logger"), second=near)
    later = DailySeries(series.first_day, series.tmin_c.copy(), series.tmax_c.copy())
    later.tmin_c[(on - series.first_day).days + 1 :] += 3.0
    second = check_and_fill(later.cut(on), source=GivenOrigin("logger"), second=near)
    np.testing.assert_array_equal(first.series.tmin_c, second.series.tmin_c)
    assert first.faults == second.faults
