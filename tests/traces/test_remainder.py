"""What is added to the weather borrowed from past years."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.traces.remainder import (
    FADES_IN_DAYS,
    FEWEST_YEARS,
    MEMORY_DAYS,
    PERSISTENCE,
    TREND_SPREAD_C,
    YEAR_SPREAD_C,
    KnownDays,
)
from season_engine.weather.series import DailySeries
from tests.benchmarks.fit_remainder import fit
from tests.benchmarks.table_remainder import MAKES, Make
from tests.yards import NAGANO, SOUTH, readings, view, view_on

LEAD = np.arange(1, 400)


def known_days(mean_c: np.ndarray) -> KnownDays:
    return KnownDays(mean_c, np.array([mean_c.size]), np.array([mean_c.size]))


def warmer_c(mean_c: np.ndarray, back: np.ndarray, lead: np.ndarray) -> np.ndarray:
    """Of one record, shape (traces, days)."""
    return known_days(mean_c).warmer_c(back[None], lead[None])[0]


def trend_c_per_year(mean_c: np.ndarray) -> float:
    return float(known_days(mean_c).trend_c_per_year[0])


COURSE = 12 - 11 * np.cos(2 * np.pi * np.arange(365) / 365)


def record(years: int, seed: int = 0, warming: float = 0.0) -> np.ndarray:
    """Whole years of a plain course with scatter and a trend, shape (days,)."""
    scatter = np.random.default_rng(seed).normal(0, YEAR_SPREAD_C, years)
    return (COURSE + (scatter + warming * np.arange(years))[:, None]).ravel()


@given(years=st.integers(2, 40), cut=st.integers(0, 364), level=st.floats(-20, 25))
def test_years_all_alike_are_taken_as_they_were(years: int, cut: int, level: float) -> None:
    known = np.tile(COURSE + level, years)[: years * 365 - cut]
    assert warmer_c(known, np.arange(1, years), LEAD) == pytest.approx(0.0, abs=1e-9)


@given(seed=st.integers(0, 10**6), years=st.integers(1, 40), anomaly=st.floats(-6, 6))
def test_what_the_last_weeks_leave_fades(seed: int, years: int, anomaly: float) -> None:
    known, back = record(years, seed), np.arange(1, years)
    known[-MEMORY_DAYS:] += anomaly
    added = warmer_c(known, back, np.append(LEAD, 10**4))
    apart = np.abs(added - added[:, -1:])  # at the end only the trend is left
    assert np.all(np.diff(apart, axis=1) <= 1e-12)


def test_a_warm_month_warms_the_days_to_come_and_warm_years_less_so() -> None:
    known, back = record(30), np.arange(1, 30)
    before = warmer_c(known, back, LEAD)
    known[-MEMORY_DAYS:] += 2.0
    raised = warmer_c(known, back, LEAD) - before
    assert raised[:, 0] == pytest.approx(2.0 * PERSISTENCE * np.exp(-1 / FADES_IN_DAYS), abs=0.03)
    assert raised[:, 90] == pytest.approx(0.0, abs=0.15)
    alike = 365 * (30 - 7)
    known[alike - MEMORY_DAYS : alike] += 2.0  # seven years back it was as warm, so that year stays
    assert warmer_c(known, back, LEAD)[6, 0] < warmer_c(known, back, LEAD)[:, 0].min() + 1.2
    assert warmer_c(known, back, LEAD)[6, 0] == pytest.approx(before[6, 0], abs=0.1)


@given(seed=st.integers(0, 10**6), years=st.integers(3, 45), warming=st.floats(-0.1, 0.1))
def test_the_trend_is_never_more_than_the_record_shows(seed: int, years: int, warming: float) -> None:
    """Between none and least squares, which numpy fits to the same yearly means."""
    known = record(years, seed, warming)
    plain = np.polyfit(np.arange(years), known.reshape(years, 365).mean(axis=1), 1)[0]
    share = trend_c_per_year(known) / plain
    assert 0 < share < 1
    assert share < 0.6 if years < 10 else share > 0.3
    assert share > 0.9 or years < 30


@pytest.mark.parametrize("years", range(1, FEWEST_YEARS))
def test_a_short_record_is_taken_as_it_was(years: int) -> None:
    known = record(years, warming=0.3)
    known[-MEMORY_DAYS:] += 5.0
    assert not warmer_c(known, np.arange(1, years + 1), LEAD).any()


@pytest.mark.parametrize("site", [NAGANO, SOUTH], ids=lambda site: site.name)
@pytest.mark.parametrize("on", [dt.date(2019, 4, 2), dt.date(2022, 12, 30)])
@settings(max_examples=4)
@given(seed=st.integers(0, 99))
def test_nothing_after_the_day_counts(site, on: dt.date, seed: int) -> None:
    raw = readings(site)
    later = (on - raw.first_day).days + 1
    values = np.array([raw.tmin_c, raw.tmax_c])
    values[:, later:] += np.random.default_rng(seed).normal(3, 6, len(raw) - later)
    changed = view_on(site, DailySeries(raw.first_day, *values), on)
    for shift in (0, 1):
        ours, theirs = view(site, on).season(shift), changed.season(shift)
        assert np.array_equal(ours.tmin_c, theirs.tmin_c)
        assert np.array_equal(ours.tmax_c, theirs.tmax_c)


def test_observed_days_and_past_seasons_are_left_as_they_were() -> None:
    on = dt.date(2022, 4, 10)
    seen = view_on(NAGANO, readings(NAGANO), on)
    season, past, known = seen.season(), seen.past, seen.weather.series
    assert season.tmin_c[:, : season.observed_days].std(axis=0) == pytest.approx(0.0, abs=1e-9)
    assert season.tmin_c[0, season.observed_days - 1] == known.tmin_c[-1]
    place = (past.days[0].item().replace(year=int(past.labels[-1])) - known.first_day).days
    assert past.tmax_c[-1, :100] == pytest.approx(known.tmax_c[place : place + 100], abs=0)
    moved = season.tmin_c - season.tmax_c  # both extremes move alike, so the daily range stays
    row = int(np.flatnonzero(season.labels == past.labels[-1])[0])
    range_c = past.tmin_c[-1] - past.tmax_c[-1]
    assert moved[row, season.observed_days :] == pytest.approx(range_c[season.observed_days :], abs=1e-9)


def test_the_numbers_are_those_of_the_fit() -> None:
    """Pins of `tests/benchmarks/fit_remainder.py` on the twelve stations, years to 2005."""
    found = fit()
    assert found["PERSISTENCE"] == pytest.approx(PERSISTENCE, abs=0.005)
    assert found["FADES_IN_DAYS"] == pytest.approx(FADES_IN_DAYS, abs=0.5)
    assert found["TREND_SPREAD_C"] == pytest.approx(TREND_SPREAD_C, abs=0.002)
    assert found["YEAR_SPREAD_C"] == pytest.approx(YEAR_SPREAD_C, abs=0.005)


@given(seed=st.integers(0, 10**6), years=st.integers(1, 40), warming=st.floats(-0.1, 0.1))
def test_the_make_that_others_are_held_against_is_the_one_used(seed: int, years: int, warming: float) -> None:
    known = known_days(record(years, seed, warming))
    back, lead = np.arange(1, years + 1)[None], LEAD[None]
    used = MAKES["trend and anomaly (used)"].warmer_c(known, back, lead)
    assert used == pytest.approx(known.warmer_c(back, lead), abs=1e-9)


def test_a_trend_by_season_follows_the_season_that_warms() -> None:
    """Summers warm by 0.1 degC a year, winters don't."""
    wave = -np.cos(2 * np.pi * np.arange(365) / 365)
    known = known_days((COURSE + 0.05 * np.arange(40)[:, None] * (1 + wave)).ravel())
    back, lead = np.array([[20]]), np.array([[1, 183]])
    (moved,) = Make(waves=1, persistence=0.0).warmer_c(known, back, lead)[0]
    winter, summer = moved
    assert winter == pytest.approx(0.0, abs=0.2)
    assert summer == pytest.approx(2.0, abs=0.2)
    assert np.ptp(Make(persistence=0.0).warmer_c(known, back, lead)) == pytest.approx(0.0, abs=1e-9)
