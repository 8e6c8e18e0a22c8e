"""Records as rows of seasons, the station's log, the weather's memory, and the width a spread must have."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import sigmoid_forcing
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.phenology.forecast import StationRecord
from season_engine.phenology.season_rows import DAYS, SeasonRows, season_rows
from season_engine.phenology.softened_fit import (
    LOG_DECAY,
    LOG_PRIOR,
    LOG_YEARS,
    SoftenedModel,
    dated,
    log_shift,
    log_weights,
)
from season_engine.phenology.spread import error_quantiles, needed_scale
from season_engine.phenology.weather_memory import MEMORY_DAYS, persistence, trend_c_per_year
from season_engine.site import Site
from season_engine.weather.series import DailySeries

NORTH, SOUTH = Site("north", 45.0, 10.0), Site("south", -45.0, 170.0)


def numbered(site: Site, first: dt.date, last: dt.date, observed=None) -> StationRecord:
    """Temperatures that tell their date: Tmin is the day of the month, Tmax the month and a hundred."""
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
    tmin = np.array([float(day.day) for day in days])
    tmax = np.array([100.0 + day.month for day in days])
    return StationRecord(site, DailySeries(first, tmin, tmax), observed or {})


# --- rows ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("site", "month", "last_month"), [(NORTH, 10, 9), (SOUTH, 4, 3)])
def test_a_season_runs_from_its_first_day_to_the_eve_of_the_next(site, month: int, last_month: int) -> None:
    rows = season_rows(numbered(site, dt.date(1999, 1, 1), dt.date(2004, 12, 31)))
    assert rows.years.tolist() == [1999, 2000, 2001, 2002, 2003, 2004]
    assert rows.tmax_c.shape == (6, DAYS)
    assert (rows.tmin_c[:, 0] == 1).all() and (rows.tmax_c[:, 0] == 100 + month).all()
    assert (rows.tmin_c[:5, -1] == (30 if last_month == 9 else 31)).all()
    assert (rows.tmax_c[:5, -1] == 100 + last_month).all()
    assert np.isnan(rows.tmax_c[5]).sum() == (273 if site is NORTH else 90)  # still to come
    assert rows.whole().tolist() == [True] * 5 + [False]


@pytest.mark.parametrize("site", [NORTH, SOUTH])
def test_the_leap_day_is_in_no_row(site) -> None:
    rows = season_rows(numbered(site, dt.date(1999, 1, 1), dt.date(2004, 12, 31)))
    leap = (rows.tmin_c == 29) & (rows.tmax_c == 102)
    assert not leap.any()
    place = site.season_on(dt.date(2001, 3, 1)).day_of(dt.date(2001, 3, 1))
    first_of_march = (rows.tmin_c == 1) & (rows.tmax_c == 103)
    assert (np.flatnonzero(first_of_march.any(axis=0)) == [place]).all()


def test_a_season_that_the_record_begins_within_is_left_out() -> None:
    rows = season_rows(numbered(NORTH, dt.date(1999, 10, 2), dt.date(2002, 9, 30)))
    assert rows.years.tolist() == [2000, 2001]


def test_notes_stand_in_their_season_and_others_are_unknown() -> None:
    rows = season_rows(numbered(NORTH, dt.date(1999, 1, 1), dt.date(2004, 12, 31), {2001: 180.0, 1950: 1.0}))
    assert np.flatnonzero(~np.isnan(rows.observed)).tolist() == [2]
    assert rows.observed[2] == 180


def test_day_lengths_are_those_of_the_hemisphere() -> None:
    """Half a year apart the two have the same sun, but for the year's not being quite even."""
    north, south = (
        season_rows(numbered(site, dt.date(1999, 1, 1), dt.date(2002, 12, 31))).day_length_h
        for site in (NORTH, SOUTH)
    )
    assert north == pytest.approx(south, abs=0.25)
    first_of_october = day_length_h(45.0, np.array([274.0]))
    assert north[0] == pytest.approx(first_of_october[0])


def weather(seed: int = 1, years: int = 12, site: Site = NORTH) -> SeasonRows:
    random = np.random.default_rng(seed)
    first = dt.date(2000, 10 if site is NORTH else 4, 1)
    days = np.arange(365 * years)
    mean = 9 - 11 * np.cos(2 * np.pi * (days - 105) / 365.25) + random.normal(0, 3, days.size)
    return season_rows(StationRecord(site, DailySeries(first, mean - 5, mean + 5), {}))


def test_forcing_is_the_mean_of_the_hours() -> None:
    rows = weather()
    hourly = hourly_temperatures_c(rows.tmin_c[3], rows.tmax_c[3], rows.day_length_h)
    by_hand = [sum(1 / (1 + math.exp(-0.3 * (hour - 12))) for hour in day) / 24 for day in hourly]
    assert rows.forcing(0.3, 12.0)[3] == pytest.approx(by_hand)


def test_warmer_weather_is_read_as_warmer_hours() -> None:
    rows = weather()
    warmed = SeasonRows(rows.years, rows.tmin_c + 1.5, rows.tmax_c + 1.5, rows.day_length_h, rows.observed)
    assert rows.forcing(0.3, 12.0, 1.5) == pytest.approx(warmed.forcing(0.3, 12.0), nan_ok=True)


@pytest.mark.parametrize("day", [0, 1, 150, DAYS - 1])
def test_the_last_days_forcing_is_that_of_a_record_that_ends_there(day: int) -> None:
    rows = weather()
    hours = hourly_temperatures_c(
        rows.tmin_c[2, : day + 1], rows.tmax_c[2, : day + 1], rows.day_length_h[: day + 1]
    )
    expected = sigmoid_forcing(hours[-1], 0.3, 12.0).mean()
    assert rows.last_day_forcing(2, day, 0.3, 12.0) == pytest.approx(expected)


def test_a_season_not_read_far_enough_has_no_date() -> None:
    rows = weather()
    early = SoftenedModel(0.3, 12.0, start=92, softening=0.01, need=20.0)
    days = dated(rows, [early])
    complete = rows.whole()
    assert np.isfinite(days[complete]).all()
    assert np.isnan(dated(rows, [early, SoftenedModel(0.3, 12.0, 92, 0.01, need=1e9)])).all()
    cut = SeasonRows(rows.years, rows.tmin_c.copy(), rows.tmax_c.copy(), rows.day_length_h, rows.observed)
    cut.tmin_c[:, 120:], cut.tmax_c[:, 120:] = np.nan, np.nan
    assert np.isnan(dated(cut, [early])).all()


# --- the station's own log -------------------------------------------------------------------------------


def log(notes: list[bool], stations: list[int] | None = None):
    years = np.arange(2000, 2000 + len(notes))
    return log_weights(np.array(notes), years, np.array(stations or [0] * len(notes)))


def test_a_note_counts_less_by_each_year_of_its_age() -> None:
    weights = log([True] * 5)
    assert weights[4].tolist() == pytest.approx([math.exp(-LOG_DECAY * age) for age in (4, 3, 2, 1)] + [0])


def test_only_earlier_years_count_and_only_the_last_fifteen_notes() -> None:
    weights = log([True] * 30)
    assert (np.triu(weights) == 0).all()  # neither its own year nor a later one
    counted = weights > 0
    assert counted.sum(axis=1).tolist() == [min(n, LOG_YEARS) for n in range(30)]
    assert np.flatnonzero(counted[29]).tolist() == list(range(14, 29))


def test_years_without_a_note_take_no_place_of_the_fifteen() -> None:
    notes = [year % 2 == 0 for year in range(40)]
    counted = np.flatnonzero(log(notes)[39])
    assert counted.size == LOG_YEARS
    assert (counted % 2 == 0).all() and counted[-1] == 38


def test_other_stations_never_count() -> None:
    stations = [0, 1] * 10
    weights = log([True] * 20, stations)
    of = np.array(stations)
    assert (weights[of[:, None] != of[None, :]] == 0).all()
    assert weights[of[:, None] == of[None, :]].any()


def test_the_shift_is_the_weighted_mean_shrunk_towards_none() -> None:
    weights = log([True, True, True])
    residuals = np.array([4.0, 6.0, np.nan])
    a, b = math.exp(-2 * LOG_DECAY), math.exp(-LOG_DECAY)
    shift = log_shift(residuals, weights)
    assert shift[0] == 0  # nothing earlier
    assert shift[2] == pytest.approx((a * 4 + b * 6) / (a + b + LOG_PRIOR))
    assert 0 < shift[2] < 5


def test_notes_of_other_stations_and_later_years_change_no_shift() -> None:
    random = np.random.default_rng(2)
    residuals = random.normal(0, 5, 20)
    stations = np.array([0] * 10 + [1] * 10)
    years = np.concatenate([np.arange(10), np.arange(10)]) + 2000
    weights = log_weights(np.ones(20, bool), years, stations)
    before = log_shift(residuals, weights)
    residuals[6:] += 100.0
    assert log_shift(residuals, weights)[:7].tolist() == before[:7].tolist()


# --- how long a warm month goes on -----------------------------------------------------------------------


def decaying(keep: float, years: int = 150, seed: int = 5) -> SeasonRows:
    """A usual course, and an anomaly of which so much is left from one day to the next."""
    random = np.random.default_rng(seed)
    shocks = random.normal(0, 3, 365 * years)
    anomaly = np.zeros(shocks.size)
    for day in range(1, shocks.size):
        anomaly[day] = keep * anomaly[day - 1] + shocks[day]
    mean = 10 - 9 * np.cos(2 * np.pi * (np.arange(shocks.size) % 365) / 365) + anomaly
    mean = mean.reshape(years, 365)
    lengths = np.full(365, 12.0)
    return SeasonRows(1900 + np.arange(years), mean - 4, mean + 4, lengths, np.full(years, np.nan))


def of_an_ar1(keep: float, lead: int) -> float:
    """Closed form: covariance of the mean of 30 days with a later day, over the variance of that mean."""
    ages = np.arange(MEMORY_DAYS)
    covariance = (keep ** (ages + lead)).mean()
    variance = (keep ** np.abs(ages[:, None] - ages[None, :])).mean()
    return float(covariance / variance)


@pytest.mark.parametrize("keep", [0.8, 0.95])
def test_persistence_finds_the_memory_of_made_weather(keep: float) -> None:
    found = persistence([decaying(keep)], 3000)
    expected = [of_an_ar1(keep, lead) for lead in range(1, found.size + 1)]
    # a month's own anomaly is part of each year's level, which is taken off: a few hundredths less
    assert found == pytest.approx(expected, abs=0.07)
    assert found[0] == pytest.approx(expected[0], abs=0.05)


def test_weather_without_a_memory_has_none() -> None:
    """But for chance: a slope on 2,100 months of 30 days errs by sqrt(30 / 2100) = 0.12, and is cut at 0."""
    assert persistence([decaying(0.0)], 3000).mean() < 0.08


def test_persistence_learns_nothing_from_later_years() -> None:
    rows = decaying(0.9, years=40)
    other = SeasonRows(rows.years, rows.tmin_c.copy(), rows.tmax_c.copy(), rows.day_length_h, rows.observed)
    other.tmin_c[30:] += 20.0
    assert persistence([rows], 1930).tolist() == persistence([other], 1930).tolist()


def test_the_trend_is_that_of_the_years_before() -> None:
    rows = decaying(0.5, years=60)
    for values in (rows.tmin_c, rows.tmax_c):
        values[:40] += 0.05 * np.arange(40)[:, None]
        values[40:] += 50.0
    assert trend_c_per_year(rows, 1940) == pytest.approx(0.05, abs=0.01)
    assert trend_c_per_year(rows, 1902) == 0.0  # two years are no trend


# --- how wide a spread must be ---------------------------------------------------------------------------


def test_errors_are_spread_around_their_middle() -> None:
    grid = error_quantiles(np.random.default_rng(1).normal(3.0, 2.0, 4000))
    assert np.median(grid) == 0
    assert (np.diff(grid) > 0).all()
    assert grid.std() == pytest.approx(2.0, rel=0.1)


def test_the_scale_is_the_split_conformal_quantile() -> None:
    """Of n misses the one in place ceil(0.8 (n + 1)): Lei et al. 2018, J. Am. Stat. Assoc. (from memory)."""
    trained = np.full(50, 1.0)
    assert needed_scale(trained, np.zeros(0)) == 1.0
    own = np.array([0.7, 1.1, 1.2, 1.3])  # 14 misses with the ten of training: the twelfth
    assert needed_scale(trained, own) == 1.1
    own = np.array([1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.1])  # 20: the seventeenth
    assert needed_scale(trained, own) == 1.8


def test_nothing_known_scales_by_one_and_nothing_scales_without_bounds() -> None:
    assert needed_scale(np.zeros(0), np.array([9.0])) == 1.0
    assert needed_scale(np.full(20, 100.0), np.full(10, 100.0)) == 2.5
    assert needed_scale(np.zeros(20), np.zeros(10)) == 0.6


def test_four_in_five_later_misses_lie_within_the_scale() -> None:
    """Exchangeable misses, training and own of one kind: coverage from 80 % to a little more."""
    random = np.random.default_rng(11)
    held = []
    for _ in range(4000):
        misses = random.uniform(0.6, 2.4, 210)  # within the bounds of the scale
        held.append(misses[-1] <= needed_scale(misses[:199], misses[199:209]))
    assert 0.79 <= np.mean(held) <= 0.85


def test_a_stations_own_late_misses_widen_or_narrow_it() -> None:
    trained = np.linspace(0.1, 1.5, 100)
    usual = needed_scale(trained, np.quantile(trained, np.linspace(0.05, 0.95, 10)))
    assert needed_scale(trained, np.full(10, 2.0)) > usual > needed_scale(trained, np.full(10, 0.2))
