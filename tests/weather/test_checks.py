"""False readings found, gaps filled, and all of it said."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.errors import WeatherError
from season_engine.weather.checks import check_and_fill
from season_engine.weather.invented.climates import COOL_INLAND_NORTH
from season_engine.weather.invented.series import demo_series
from season_engine.weather.normals import day_of_leap_year, normals
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import InventedOrigin, LoggerOrigin
from season_engine.words.weather_faults import fault_text

FIRST = dt.date(2019, 3, 1)


def days(count: int) -> DailySeries:
    """Tenths of a degree, each day unlike the one before."""
    step = np.arange(count)
    return DailySeries(FIRST, 3.1 + 0.1 * (step % 7), 8.4 + 0.3 * (step % 5))


def without(series: DailySeries, *gaps: range) -> DailySeries:
    for gap in gaps:
        series.tmin_c[gap], series.tmax_c[gap] = np.nan, np.nan
    return series


def mended(series: DailySeries) -> Weather:
    return check_and_fill(series, source=LoggerOrigin("ridge.csv"))


def test_good_readings_stay_as_they_are() -> None:
    weather = mended(days(30))
    np.testing.assert_array_equal(weather.series.tmin_c, days(30).tmin_c)
    np.testing.assert_array_equal(weather.series.tmax_c, days(30).tmax_c)
    assert weather.observed.all()
    assert weather.faults == ()
    assert (weather.source, weather.invented) == (LoggerOrigin("ridge.csv"), False)


# A sensor that stands still: five equal values and more are flagged by ECA&D's rules as xclim documents them
# (read in a secondary copy); that 15 suit whole degrees is our judgement, after the 15 to 20 of GHCN-Daily.


def still(series: DailySeries, first: int, count: int) -> DailySeries:
    series.tmin_c[first : first + count] = series.tmin_c[first]
    series.tmax_c[first : first + count] = series.tmax_c[first]
    return series


@pytest.mark.parametrize(("count", "caught"), [(4, False), (5, True), (9, True)])
def test_a_streak_of_five_days_is_a_stuck_sensor(count: int, caught: bool) -> None:
    weather = mended(still(days(30), 13, count))
    assert weather.observed.sum() == 30 - (count if caught else 0)
    assert [fault.kind for fault in weather.faults] == (["stuck"] if caught else [])


def test_a_stuck_sensor_is_described() -> None:
    (fault,) = mended(still(days(30), 13, 9)).faults
    assert (fault.first_day, fault.last_day) == (dt.date(2019, 3, 14), dt.date(2019, 3, 22))
    assert fault_text(fault) == (
        "14-22 Mar 2019: the sensor stood still at 3.7 / 9.3 °C for 9 days; "
        "those days are left out and filled."
    )


@pytest.mark.parametrize(("count", "caught"), [(4, False), (5, True)])
def test_one_extreme_alone_may_stand_still(count: int, caught: bool) -> None:
    series = days(30)
    series.tmin_c[10 : 10 + count] = 4.0
    weather = mended(series)
    assert [fault.kind for fault in weather.faults] == (["stuck"] if caught else [])
    if caught:
        assert fault_text(weather.faults[0]) == (
            "11-15 Mar 2019: the lowest reading stood still at 4.0 °C for 5 days; "
            "those readings are left out and filled."
        )
        np.testing.assert_array_equal(weather.series.tmax_c, series.tmax_c)


@pytest.mark.parametrize("degrees", ["whole C", "half C", "whole F"])
@pytest.mark.parametrize(("count", "caught"), [(14, False), (15, True)])
def test_whole_degrees_may_repeat_for_two_weeks(degrees: str, count: int, caught: bool) -> None:
    step = np.arange(60)
    scale = {"whole C": 1.0, "half C": 0.5, "whole F": 5.0 / 9.0}[degrees]
    series = DailySeries(FIRST, (step % 7) * scale, (8 + step % 5) * scale)
    assert bool(mended(still(series, 20, count)).faults) == caught


# A spike: 25 degC against both neighbours, a customary limit (from memory).


@pytest.mark.parametrize(("size", "caught"), [(24.9, False), (25.0, True), (-24.9, False), (-25.0, True)])
def test_a_spike_stands_out_from_both_neighbours(size: float, caught: bool) -> None:
    series = DailySeries(FIRST, np.tile([0.0, 0.5, 1.0, 0.25], 5), np.tile([30.0, 30.5, 31.0], 7)[:20])
    series.tmin_c[9:12] = [0.0, size, 0.0]
    weather = mended(series)
    assert [fault.kind for fault in weather.faults] == (["spike"] if caught else [])
    if caught:
        assert weather.series.tmin_c[10] == 0.0
        assert weather.series.tmax_c[10] == series.tmax_c[10]
        assert not weather.observed[10]
        assert fault_text(weather.faults[0]).startswith("11 Mar 2019: the lowest reading, ")


def test_a_step_to_warmer_weather_is_no_spike() -> None:
    series = days(20)
    series.tmax_c[10:] += 26.0
    assert mended(series).faults == ()


# Gaps


def test_a_short_gap_is_bridged_by_a_straight_line() -> None:
    series = days(30)
    series.tmin_c[9], series.tmin_c[15] = 1.0, 7.0
    weather = mended(without(series, range(10, 15)))
    np.testing.assert_allclose(weather.series.tmin_c[9:16], [1, 2, 3, 4, 5, 6, 7])
    assert np.flatnonzero(~weather.observed).tolist() == [10, 11, 12, 13, 14]
    (fault,) = weather.faults
    assert (fault.kind, fault_text(fault)) == (
        "gap",
        "11-15 Mar 2019: readings are missing for 5 days; filled.",
    )


def wave(count: int) -> DailySeries:
    """A yearly course, one degree warmer each year: the usual day of the year is known exactly."""
    first = dt.date(2001, 1, 1)
    dates = np.datetime64(first) + np.arange(count)
    year = dates.astype("datetime64[Y]").astype(int) - 31
    course = 10 * np.sin(day_of_leap_year(dates) * 2 * np.pi / 366) + 0.01 * (np.arange(count) % 2)
    return DailySeries(first, course + year, course + year + 8.0)


@pytest.mark.parametrize("gap", [range(10, 16), range(800, 900)])
def test_a_long_gap_follows_the_year_and_joins_on(gap: range) -> None:
    whole = wave(4 * 365)
    weather = mended(without(wave(4 * 365), gap))
    # A straight line would be up to 10 degC off in the middle of 100 days; joined normals are not.
    np.testing.assert_allclose(weather.series.tmin_c, whole.tmin_c, atol=0.8)
    np.testing.assert_allclose(weather.series.tmax_c, whole.tmax_c, atol=0.8)
    inside = np.zeros(len(whole), dtype=bool)
    inside[gap] = True
    np.testing.assert_array_equal(weather.series.tmin_c[~inside], whole.tmin_c[~inside])
    assert np.abs(np.diff(weather.series.tmin_c)[[gap.start - 1, gap.stop - 1]]).max() < 0.8


def test_a_long_gap_in_a_short_record_is_bridged_all_the_same() -> None:
    weather = mended(without(days(60), range(20, 50)))
    assert not np.isnan(weather.series.tmin_c).any()
    assert weather.series.tmin_c[20:50].max() < 4.5


def test_a_filled_reading_never_passes_an_observed_one() -> None:
    series = days(20)
    series.tmin_c[10], series.tmax_c[10] = np.nan, -10.0
    series.tmin_c[12], series.tmax_c[12] = 20.0, np.nan
    weather = mended(series)
    assert (weather.series.tmin_c <= weather.series.tmax_c).all()
    assert weather.series.tmax_c[10] == -10.0
    assert weather.series.tmin_c[12] == 20.0
    assert np.flatnonzero(~weather.observed).tolist() == [10, 12]


def test_missing_ends_are_cut_off_not_filled() -> None:
    weather = mended(without(days(30), range(0, 3), range(26, 30)))
    assert (weather.series.first_day, weather.data_through) == (dt.date(2019, 3, 4), dt.date(2019, 3, 26))
    assert weather.observed.all()
    assert weather.faults == ()


def test_a_sensor_that_stands_still_to_the_end_is_cut_off() -> None:
    weather = mended(still(days(30), 22, 8))
    assert weather.data_through == dt.date(2019, 3, 22)
    assert fault_text(weather.faults[0]).endswith("those days are left out.")


@pytest.mark.parametrize("count", [0, 1, 2, 30])
def test_nothing_observed_is_missing_weather(count: int) -> None:
    with pytest.raises(WeatherError, match=r"ridge\.csv"):
        mended(without(days(count), range(count)))


@pytest.mark.parametrize("count", [1, 2, 3])
def test_a_few_days_are_enough_to_check(count: int) -> None:
    assert len(mended(days(count)).series) == count


def test_each_fault_of_the_demo_is_found() -> None:
    raw = demo_series(COOL_INLAND_NORTH, dt.date(2025, 12, 31))
    weather = check_and_fill(raw, source=InventedOrigin(), invented=True)
    assert weather.invented
    gap_days = sum(
        (fault.last_day - fault.first_day).days + 1 for fault in weather.faults if fault.kind == "gap"
    )
    assert gap_days == np.isnan(raw.tmin_c).sum() > 0
    stuck = [fault for fault in weather.faults if fault.kind == "stuck"]
    assert stuck and all((fault.last_day - fault.first_day).days == 8 for fault in stuck)
    assert {fault.kind for fault in weather.faults} == {"gap", "stuck"}


@settings(max_examples=25, deadline=None)
@given(on=st.dates(dt.date(2010, 1, 1), dt.date(2025, 12, 31)))
def test_later_readings_change_nothing(on: dt.date) -> None:
    longer = demo_series(COOL_INLAND_NORTH, dt.date(2025, 12, 31))
    shorter = DailySeries(longer.first_day, longer.tmin_c.copy(), longer.tmax_c.copy()).cut(on)
    longer.tmin_c[len(shorter) :], longer.tmax_c[len(shorter) :] = -40.0, 40.0
    cut = longer.cut(on)
    first, second = (check_and_fill(series, source=InventedOrigin()) for series in (shorter, cut))
    np.testing.assert_array_equal(first.series.tmin_c, second.series.tmin_c)
    np.testing.assert_array_equal(first.series.tmax_c, second.series.tmax_c)
    assert first.faults == second.faults


# Normals


def test_first_of_march_is_the_same_day_in_every_year() -> None:
    dates = np.array(
        ["2019-01-01", "2019-03-01", "2020-02-29", "2020-03-01", "2019-12-31"], dtype="datetime64[D]"
    )
    assert day_of_leap_year(dates).tolist() == [0, 60, 59, 60, 365]


def test_normals_are_means_over_a_fortnight_and_all_years() -> None:
    calendar_day = np.array([0, 7, 8, 359, 100])  # a week off either side of day 0, and a day too far
    values = np.array([1.0, 2.0, 50.0, 6.0, np.nan])
    usual = normals(values, calendar_day)
    assert usual[0] == 3.0  # (1 + 2 + 6) / 3
    assert usual[350] == pytest.approx(np.interp(350, [15, 352], [50.0, 6.0]))
