"""A second source's readings in this yard's terms, so that they can stand in where the yard has none."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.normals import LEAP_YEAR_DAYS, day_of_leap_year, normals
from season_engine.weather.quality.readings import both_read
from season_engine.weather.series import DailySeries, FloatArray

FEWEST_COMMON_DAYS = 60
SEASON_HALF_WINDOW_DAYS = 30
WHOLE_RECORD_WEIGHT = (
    30  # common days at which a season's own difference counts as much as the whole record's
)


def laid_on(series: DailySeries, first_day: dt.date, days: int) -> DailySeries:
    """The same readings on other days: NaN where there are none, those outside left away."""
    values = np.full((2, days), np.nan)
    start = (series.first_day - first_day).days
    inside = slice(max(0, start), max(0, min(days, start + len(series))))
    taken = slice(inside.start - start, inside.stop - start)
    if inside.stop > inside.start:
        values[0, inside], values[1, inside] = series.tmin_c[taken], series.tmax_c[taken]
    return DailySeries(first_day, values[0], values[1])


def in_yard_terms(second: DailySeries, yard: DailySeries) -> DailySeries | None:
    """What the yard would likely have read on each day of the second source; both have the same days.

    The difference of each time of year (median over common days, drawn towards that of all common days where
    they are few), then the part of the second source's own anomaly that the yard doesn't share (least
    squares on both extremes). None where fewer than 60 days are common.
    """
    near, here = (np.array([series.tmin_c, series.tmax_c]) for series in (second, yard))
    common = both_read(near) & both_read(here)
    if np.count_nonzero(common) < FEWEST_COMMON_DAYS:
        return None
    calendar_day = day_of_leap_year(second.days)
    moved = near + np.array([_difference(row, calendar_day) for row in here - near])
    usual = np.array([normals(row, calendar_day)[calendar_day] for row in near])
    anomaly = near - usual
    slopes = np.linalg.lstsq(anomaly[:, common].T, (here - moved)[:, common].T, rcond=None)[0]
    tmin_c, tmax_c = moved + slopes.T @ anomaly
    crossed = tmin_c > tmax_c  # where the second source's range was next to nothing
    middle = (tmin_c + tmax_c) / 2
    return DailySeries(second.first_day, np.where(crossed, middle, tmin_c), np.where(crossed, middle, tmax_c))


def _difference(differences: FloatArray, calendar_day: NDArray[np.int64]) -> FloatArray:
    """Usual difference at each day's time of year, shape (days,)."""
    read = ~np.isnan(differences)
    values, at = differences[read], calendar_day[read]
    overall = float(np.median(values))
    anchors = np.arange(0, LEAP_YEAR_DAYS, 5)
    found = []
    for anchor in anchors:
        away = np.abs((at - anchor + LEAP_YEAR_DAYS // 2) % LEAP_YEAR_DAYS - LEAP_YEAR_DAYS // 2)
        here = values[away <= SEASON_HALF_WINDOW_DAYS]
        middle = float(np.median(here)) if here.size else overall
        found.append((here.size * middle + WHOLE_RECORD_WEIGHT * overall) / (here.size + WHOLE_RECORD_WEIGHT))
    result: FloatArray = np.interp(calendar_day, anchors, found, period=LEAP_YEAR_DAYS)
    return result
