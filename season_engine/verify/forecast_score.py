"""How far off kept forecasts of the days ahead were, by the site's own readings of those days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.site import day_number
from season_engine.traces.record import MOST_YEARS, Record
from season_engine.weather.forecast.days import MOST_LEAD_DAYS, Issue
from season_engine.weather.series import Weather

FloatArray = NDArray[np.float64]

NEAR_DAYS = 7  # of the same date in past years, that say what is usual for it
YEAR_DAYS = 365


@dataclass(frozen=True, slots=True)
class Errors:
    """Of a day's lowest or highest temperature [degC]."""

    bias_c: float  # above 0: forecast too warm
    rmse_c: float
    usual_rmse_c: float | None  # of the middle of past years; None where the record begins too late


@dataclass(frozen=True, slots=True)
class DaysAhead:
    """Forecasts of so many days ahead, at least one."""

    lead_days: int
    n: int
    tmin: Errors
    tmax: Errors

    @property
    def rmse_c(self) -> float:
        """Of both extremes together."""
        return _together(self.tmin.rmse_c, self.tmax.rmse_c)

    @property
    def usual_rmse_c(self) -> float | None:
        """The same of past years' middle."""
        low, high = self.tmin.usual_rmse_c, self.tmax.usual_rmse_c
        return None if low is None or high is None else _together(low, high)


@dataclass(frozen=True, slots=True)
class ForecastScore:
    """The forecasts kept for one site whose days are past."""

    site: str
    issues: int
    first: dt.date  # of the days of issue
    last: dt.date
    ahead: tuple[DaysAhead, ...]  # from one day on


def forecast_score(site: str, issues: Iterable[Issue], weather: Weather, on: dt.date) -> ForecastScore | None:
    """Every kept issue's days up to `on` that were read here, each beside what past years had.

    What is usual for a date is the middle of what past years had within a week of it, up to thirty of them
    and none later than the issue. The day of issue itself is left out: part of it was known. None where no
    day of any issue is past.
    """
    found = [
        (issue.day, (day.date - issue.day).days, place, day.tmin_c, day.tmax_c)
        for issue in issues
        for day in issue.days
        if 1 <= (day.date - issue.day).days <= MOST_LEAD_DAYS
        and day.date <= on
        and (place := _place(weather, day.date)) is not None
    ]
    if not found:
        return None
    days = [issued for issued, *_ in found]
    lead = np.array([ahead for _, ahead, *_ in found])
    at = [row[2] for row in found]
    came = np.array([weather.series.tmin_c[at], weather.series.tmax_c[at]])
    off = np.array([row[3:] for row in found]).T - came
    usual = _usual_c(weather, at) - came
    ahead = tuple(
        _days_ahead(int(one), off[:, lead == one], usual[:, lead == one]) for one in np.unique(lead)
    )
    return ForecastScore(site, len(set(days)), min(days), max(days), ahead)


def _place(weather: Weather, date: dt.date) -> int | None:
    """Where a day stands in the record; None where it was not read here."""
    place = (date - weather.series.first_day).days
    return place if 0 <= place < len(weather.series) and weather.observed[place] else None


def _usual_c(weather: Weather, at: Iterable[int]) -> FloatArray:
    """Middle lows and highs of past years about the date of each place, shape (2, places); NaN: none."""
    record, first = Record(weather.series), weather.series.first_day
    extremes = np.array([record.tmin_c, record.tmax_c])
    middles = []
    for place in at:
        day = day_number(first + dt.timedelta(days=place)) - record.first
        back = np.arange(1, MOST_YEARS + 1) * YEAR_DAYS
        near = day - back[:, None] + np.arange(-NEAR_DAYS, NEAR_DAYS + 1)
        whole = near[(near >= 0).all(axis=1)].ravel()
        middles.append(np.median(extremes[:, whole], axis=1) if whole.size else np.full(2, np.nan))
    return np.array(middles).T


def _days_ahead(lead_days: int, off: FloatArray, usual: FloatArray) -> DaysAhead:
    """From errors of lows and highs, shape (2, cases)."""
    tmin, tmax = (_errors(*both) for both in zip(off, usual, strict=True))
    return DaysAhead(lead_days, off.shape[1], tmin, tmax)


def _errors(off: FloatArray, usual: FloatArray) -> Errors:
    known = not np.isnan(usual).any()
    return Errors(float(off.mean()), _rms(off), _rms(usual) if known else None)


def _rms(off: FloatArray) -> float:
    return float(np.sqrt((off**2).mean()))


def _together(low: float, high: float) -> float:
    return float(np.sqrt((low**2 + high**2) / 2))
