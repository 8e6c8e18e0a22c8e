"""What is usual for a day of the year, from a record's own years."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.series import FloatArray

HALF_WINDOW_DAYS = 7
LEAP_YEAR_DAYS = 366
ANCHOR_DAYS = 10
MEDIAN_DISTANCE_TO_SPREAD = 1.4826  # of a normal distribution


def day_of_leap_year(days: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Position in a leap year, 0 to 365, so that 1 March is the same in every year; shape as `days`."""
    months = days.astype("datetime64[M]")
    in_month = (days - months.astype("datetime64[D]")).astype(np.int64)
    leap_months = np.arange("2000-01", "2001-01", dtype="datetime64[M]").astype("datetime64[D]")
    starts = (leap_months - leap_months[0]).astype(np.int64)
    position: NDArray[np.int64] = starts[months.astype(np.int64) % 12] + in_month
    return position


def normals(values: FloatArray, calendar_day: NDArray[np.int64]) -> FloatArray:
    """Mean of all readings within a week of each day of the year, any year; shape (366,).

    NaN readings don't count. Days of the year never read lie on a straight line between those that were.
    """
    read = ~np.isnan(values)
    sums = np.bincount(calendar_day[read], weights=values[read], minlength=LEAP_YEAR_DAYS)
    counts = np.bincount(calendar_day[read], minlength=LEAP_YEAR_DAYS)
    shifts = range(-HALF_WINDOW_DAYS, HALF_WINDOW_DAYS + 1)
    near_sums = np.sum([np.roll(sums, shift) for shift in shifts], axis=0)
    near_counts = np.sum([np.roll(counts, shift) for shift in shifts], axis=0)
    known = np.flatnonzero(near_counts)
    mean: FloatArray = np.interp(
        np.arange(LEAP_YEAR_DAYS), known, near_sums[known] / near_counts[known], period=LEAP_YEAR_DAYS
    )
    return mean


def through_the_year(
    values: FloatArray,
    calendar_day: NDArray[np.int64],
    statistic: Callable[[FloatArray], float],
    *,
    half_window_days: int,
    fewest: int,
) -> FloatArray:
    """A statistic of all readings within some days of each day of the year, any year; shape (366,).

    It is worked out every tenth day and lies on straight lines between. NaN readings don't count; NaN where
    fewer than `fewest` readings are near.
    """
    read = ~np.isnan(values)
    order = np.argsort(calendar_day[read], kind="stable")
    in_order, at = values[read][order], calendar_day[read][order]
    in_order = np.concatenate((in_order, in_order, in_order))  # the year before and the year after
    at = np.concatenate((at - LEAP_YEAR_DAYS, at, at + LEAP_YEAR_DAYS))
    anchors = np.arange(0, LEAP_YEAR_DAYS, ANCHOR_DAYS)
    starts = np.searchsorted(at, anchors - half_window_days, "left")
    stops = np.searchsorted(at, anchors + half_window_days, "right")
    found = [
        statistic(in_order[start:stop]) if stop - start >= fewest else np.nan
        for start, stop in zip(starts.tolist(), stops.tolist(), strict=True)
    ]
    result: FloatArray = np.interp(np.arange(LEAP_YEAR_DAYS), anchors, found, period=LEAP_YEAR_DAYS)
    return result


def middle_of(values: FloatArray) -> float:
    """The median of one reading or more, none of them NaN; `numpy.median` takes twice as long."""
    half, parted = values.size // 2, values.copy()
    parted.partition(half)
    return float(parted[half] if values.size % 2 else (parted[:half].max() + parted[half]) / 2)


def robust_spread(values: FloatArray) -> float:
    """Standard deviation as the median distance from the median gives it; outliers hardly count."""
    return middle_of(np.abs(values - middle_of(values))) * MEDIAN_DISTANCE_TO_SPREAD
