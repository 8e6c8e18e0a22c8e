"""What is usual for a day of the year, from a record's own years."""

from __future__ import annotations

from calendar import isleap
from collections.abc import Callable
from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.series import FloatArray

T = TypeVar("T", np.int64, np.float64)

HALF_WINDOW_DAYS = 7
LEAP_YEAR_DAYS = 366
LEAP_DAY = 59  # 29 February
CYCLE_YEARS = 400
ANCHOR_DAYS = 10
MEDIAN_DISTANCE_TO_SPREAD = 1.4826  # of a normal distribution


def day_of_leap_year(days: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Position in a leap year, 0 to 365, so that 1 March is the same in every year; shape as `days`."""
    cycle = _cycle()
    return cycle[days.astype("datetime64[D]").astype(np.int64) % cycle.size]


@lru_cache(maxsize=1)
def _cycle() -> NDArray[np.int64]:
    """Positions of all days from 1970 on until the calendar comes round again, after 400 years."""
    leap = np.arange(LEAP_YEAR_DAYS)
    common = np.delete(leap, LEAP_DAY)
    return np.concatenate([leap if isleap(year) else common for year in range(1970, 1970 + CYCLE_YEARS)])


def normals(values: FloatArray, calendar_day: NDArray[np.int64]) -> FloatArray:
    """Mean of all readings within a week of each day of the year, any year; shape (366,).

    NaN readings don't count. Days of the year never read lie on a straight line between those that were.
    """
    read = ~np.isnan(values)
    sums = np.bincount(calendar_day[read], weights=values[read], minlength=LEAP_YEAR_DAYS)
    counts = np.bincount(calendar_day[read], minlength=LEAP_YEAR_DAYS)
    near_sums, near_counts = (_added_up(part) for part in (sums, counts))
    known = np.flatnonzero(near_counts)
    mean: FloatArray = np.interp(
        np.arange(LEAP_YEAR_DAYS), known, near_sums[known] / near_counts[known], period=LEAP_YEAR_DAYS
    )
    return mean


def _added_up(of_days: NDArray[T]) -> NDArray[T]:
    """Sum of each day of the year with those within a week of it."""
    ends = of_days[-HALF_WINDOW_DAYS:], of_days, of_days[:HALF_WINDOW_DAYS]
    around = np.concatenate(ends)
    total = np.zeros_like(of_days)
    for first in range(2 * HALF_WINDOW_DAYS, -1, -1):
        total += around[first : first + of_days.size]
    return total


def through_the_year(
    values: FloatArray,
    calendar_day: NDArray[np.int64],
    statistic: Callable[[FloatArray], float | tuple[float, float]],
    *,
    half_window_days: int,
    fewest: int,
    asked: NDArray[np.int64] | None = None,
) -> FloatArray:
    """One or two statistics of all readings within some days of each day of the year, any year.

    They are worked out every tenth day and lie on straight lines between; shape (statistics, 366). NaN
    readings don't count; NaN where fewer than `fewest` readings are near, and where it may be on days of the
    year that aren't `asked` for.
    """
    anchors = np.arange(0, LEAP_YEAR_DAYS, ANCHOR_DAYS)
    wanted = np.ones(anchors.size, dtype=bool)
    if asked is not None:
        before = asked // ANCHOR_DAYS
        wanted[:] = False
        wanted[before] = wanted[(before + 1) % anchors.size] = True
    read = ~np.isnan(values)
    order = np.argsort(calendar_day[read], kind="stable")
    in_order, at = values[read][order], calendar_day[read][order]
    in_order = np.concatenate((in_order, in_order, in_order))  # the year before and the year after
    at = np.concatenate((at - LEAP_YEAR_DAYS, at, at + LEAP_YEAR_DAYS))
    starts = np.searchsorted(at, anchors - half_window_days, "left")
    stops = np.searchsorted(at, anchors + half_window_days, "right")
    enough = wanted & (stops - starts >= fewest)
    near = zip(starts.tolist(), np.where(enough, stops, starts).tolist(), strict=True)
    found = np.atleast_2d(np.array([statistic(in_order[start:stop]) for start, stop in near]).T)
    every = np.arange(LEAP_YEAR_DAYS)
    return np.array([np.interp(every, anchors, one, period=LEAP_YEAR_DAYS) for one in found])


def middle_of(values: FloatArray) -> float:
    """The median of readings, none of them NaN; NaN of none. `numpy.median` takes twice as long."""
    half, parted = values.size // 2, values.copy()
    if not parted.size:
        return np.nan
    parted.partition((max(half - 1, 0), half))
    return float(parted[half] if values.size % 2 else (parted[half - 1] + parted[half]) / 2)


def middle_and_spread(values: FloatArray) -> tuple[float, float]:
    """The median, and the standard deviation as the median distance from it gives it."""
    middle = middle_of(values)
    return middle, middle_of(np.abs(values - middle)) * MEDIAN_DISTANCE_TO_SPREAD
