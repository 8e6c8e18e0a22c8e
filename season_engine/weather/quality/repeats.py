"""Readings that repeat where weather doesn't."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from season_engine.weather.faults import EXTREMES, BothStoodStill, NoRange, OneStoodStill, Repeated
from season_engine.weather.quality.readings import HIGHEST, LOWEST, Finding, Readings, both_read, runs
from season_engine.weather.series import BoolArray

STREAK_DAYS = 5  # ECA&D
COARSE_STREAK_DAYS = 15  # GHCN-Daily: 15 to 20; where readings are whole or half degrees, equal days happen
COARSE_SINGLE_STREAK_DAYS = 20  # one extreme alone repeats sooner than both
COPIED_DAYS = 7  # days in a row on which both extremes come again
LIVELY_C = 0.7  # mean step from day to day: even weather may repeat itself, to the digits that are kept
MOST_COPIED_SHARE = 0.3  # of all days read
FLAT_DAYS_OF_MONTH = 10  # GHCN-Daily (from memory)

_WEIGHTS = np.uint64(0x9E3779B97F4A7C15) ** np.arange(COPIED_DAYS, dtype=np.uint64)  # odd: none is lost


def copies(readings: Readings) -> Iterator[Finding]:
    """A week or more that repeats an earlier one, reading by reading: days pasted in twice.

    Where much of the record does so, that is how the record is made, and nothing is found.
    """
    days, fingerprints = _weeks(readings)
    in_order = np.sort(fingerprints)
    if not (in_order[1:] == in_order[:-1]).any():
        return
    _, first_seen, which = np.unique(fingerprints, return_index=True, return_inverse=True)
    earlier = days[first_seen][which]
    source = np.full(readings.days.size, -1)
    again = earlier <= days - COPIED_DAYS
    for day, original in zip(days[again].tolist(), earlier[again].tolist(), strict=True):
        source[day : day + COPIED_DAYS] = np.arange(original, original + COPIED_DAYS)
    if np.count_nonzero(source >= 0) > MOST_COPIED_SHARE * np.count_nonzero(both_read(readings.values)):
        return
    for first, last in runs(source >= 0):
        original = readings.days[source[first]].item()
        yield Finding(first, last, (LOWEST, HIGHEST), Repeated(original))


def _weeks(readings: Readings) -> tuple[NDArray[np.int64], NDArray[np.uint64]]:
    """First day of each lively week of whole readings, and a number to tell it by."""
    whole = both_read(readings.values)
    if whole.size < COPIED_DAYS:
        return np.empty(0, np.int64), np.empty(0, np.uint64)
    values = np.where(whole, readings.values, 0.0)
    low, high = np.rint(values * 1000.0).astype(np.int64)
    day_numbers = sliding_window_view((low * 1_000_003 + high).astype(np.uint64), COPIED_DAYS)
    steps = np.abs(np.diff(values, axis=1))
    lively_low, lively_high = sliding_window_view(steps, COPIED_DAYS - 1, axis=1).mean(axis=2) >= LIVELY_C
    days = np.flatnonzero(lively_low & lively_high & sliding_window_view(whole, COPIED_DAYS).all(axis=1))
    return days, (day_numbers[days] * _WEIGHTS).sum(axis=1)  # whole numbers of 64 bits that wrap round


def flat_days(readings: Readings) -> Iterator[Finding]:
    """Days without any range, where a calendar month has many: one reading written into both columns."""
    low, high = readings.values
    flat = low == high
    months = readings.days.astype("datetime64[M]").astype(np.int64)
    months -= months[0] if months.size else 0
    many = np.bincount(months, weights=flat, minlength=1) >= FLAT_DAYS_OF_MONTH
    for first, last in runs(flat & many[months]):
        yield Finding(first, last, (LOWEST, HIGHEST), NoRange())


def streaks(readings: Readings) -> Iterator[Finding]:
    """The sensor stood still: both extremes, or one of them, the same for too many days."""
    low, high = readings.values
    coarse = readings.coarse
    both = _as_before(low) & _as_before(high)
    stuck = np.zeros(low.size, dtype=bool)
    for first, last in _long(both, COARSE_STREAK_DAYS if coarse else STREAK_DAYS):
        stuck[first : last + 1] = True
        still = BothStoodStill(float(low[first]), float(high[first]), last - first + 1)
        yield Finding(first, last, (LOWEST, HIGHEST), still)
    for row, values in enumerate(readings.values):
        alone = _as_before(np.where(stuck, np.nan, values))
        for first, last in _long(alone, COARSE_SINGLE_STREAK_DAYS if coarse else STREAK_DAYS):
            one = OneStoodStill(EXTREMES[row], float(values[first]), last - first + 1)
            yield Finding(first, last, (row,), one)


def _as_before(values: np.ndarray) -> BoolArray:
    same = np.zeros(values.size, dtype=bool)
    same[1:] = np.diff(values) == 0.0
    return same


def _long(as_before: BoolArray, longest: int) -> Iterator[tuple[int, int]]:
    """Streaks of at least so many days, the day that is repeated included."""
    return ((second - 1, last) for second, last in runs(as_before) if last - second + 2 >= longest)
