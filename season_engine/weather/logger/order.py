"""Readings put in order of time, each once, through the hour that comes twice as clocks are put back."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.series import BoolArray, FloatArray

IntArray = NDArray[np.int64]
HOUR = 3600
SMALL_HOURS = 4  # clocks are put back before four in the morning, or in the last hours of the evening
LATE_HOUR = 22
CHANGE_MONTHS = (2, 3, 4, 9, 10, 11)
SAME_C = 0.06  # the same reading in two units, or to other decimals, is no farther apart


_LOST_SECONDS = 500 * DAY_SECONDS  # so far before the others a clock that lost the time stands
_LOST_GAP_SECONDS = 200 * DAY_SECONDS  # without a reading between its times and the true ones
_LOST_SHARE = 0.2
_UNREAD_BELOW = -(2**61)


@dataclass(frozen=True)
class Ordered:
    """Rows in order of time, each instant once."""

    rows: IntArray  # which row of the table each is
    keys: FloatArray  # seconds in true order: those of a second hour come behind the first
    twice: IntArray  # rows that are there again
    clash: tuple[tuple[int, int], ...]  # pairs of rows of one instant with other temperatures
    sorted: int  # rows that came out of order


def in_order(seconds: IntArray, temp_c: FloatArray, *, exact: bool) -> Ordered:
    """Rows by their instant; `exact` where no hour can come twice, as stamps are of one zone.

    `seconds` and `temp_c`, which may hold NaN, have shape (rows,) and the file's order, newest first or last.
    """
    rows = np.arange(seconds.size)
    steps = np.diff(seconds)
    if np.count_nonzero(steps < 0) > np.count_nonzero(steps > 0):
        rows = rows[::-1]
    keys = seconds[rows].astype(np.float64)
    if not exact:
        _second_hours(seconds[rows], temp_c[rows], keys)
    backward = int(np.count_nonzero(np.diff(keys) < 0))
    order = np.argsort(keys, kind="stable") if backward else np.arange(rows.size)
    return _once(rows[order], keys[order], temp_c, backward)


def _second_hours(seconds: IntArray, temp_c: FloatArray, keys: FloatArray) -> None:
    """Set the keys of readings in an hour that comes a second time, once a year at most."""
    steps = np.diff(seconds)
    after = seconds[1:]
    hour = after % DAY_SECONDS // HOUR
    month = after.astype("datetime64[s]").astype("datetime64[M]").astype(np.int64) % 12 + 1
    back = (
        (steps <= 0)
        & (steps >= -HOUR)
        & ((hour < SMALL_HOURS) | (hour >= LATE_HOUR))
        & np.isin(month, CHANGE_MONTHS)
    )
    same = (steps == 0) & ~(np.abs(np.diff(temp_c)) > 0)  # stored twice, or an hour as warm as the last
    year = after.astype("datetime64[s]").astype("datetime64[Y]").astype(np.int64)
    for one in np.unique(year[back]):
        here = np.flatnonzero(back & (year == one))
        sure = here[~same[here]]
        chosen = sure if sure.size == 1 else here if here.size == 1 and _hourly(seconds) else []
        for at in chosen:
            _put_back(seconds, keys, int(at) + 1)


def _hourly(seconds: IntArray) -> bool:
    """Whether an hour holds one reading: then the second hour repeats a single stamp."""
    steps = np.diff(seconds)
    return bool(steps.size) and float(np.median(np.abs(steps))) >= HOUR


def _put_back(seconds: IntArray, keys: FloatArray, first: int) -> None:
    """From a row on readings are of the second hour, until it is over."""
    start = seconds[first]
    last = first
    while (
        last < seconds.size
        and start <= seconds[last] < start + HOUR
        and (last == first or seconds[last] > seconds[last - 1])
    ):
        last += 1
    keys[first:last] = start + HOUR - 1 + (seconds[first:last] - start) / (2.0 * HOUR)


def _once(rows: IntArray, keys: FloatArray, temp_c: FloatArray, backward: int) -> Ordered:
    again = np.flatnonzero(np.diff(keys) == 0) + 1
    if not again.size:
        return Ordered(rows, keys, np.empty(0, np.int64), (), backward)
    keep: BoolArray = np.ones(rows.size, dtype=bool)
    clash: list[tuple[int, int]] = []
    for at in again.tolist():
        before = at - 1
        while not keep[before]:
            before -= 1
        old, new = temp_c[rows[before]], temp_c[rows[at]]
        if np.isnan(old) and not np.isnan(new):
            keep[before] = False
        else:
            keep[at] = False
            if abs(old - new) > SAME_C:
                clash.append((int(rows[before]), int(rows[at])))
    return Ordered(rows[keep], keys[keep], rows[~keep], tuple(clash), backward)


def lost_clock(seconds: IntArray) -> IntArray:
    """Rows of a clock that lost the time, and began anew on 1 January of a year long before the others.

    `seconds` has shape (rows,) and the order of the file; unread rows are far below any time.
    """
    read = np.flatnonzero(seconds > _UNREAD_BELOW)
    if not read.size:
        return read
    far = read[seconds[read] < np.median(seconds[read]) - _LOST_SECONDS]
    if not far.size or far.size > _LOST_SHARE * read.size:
        return far[:0]
    others = np.setdiff1d(read, far)
    if seconds[others].min() - seconds[far].max() < _LOST_GAP_SECONDS:  # the start of a record of years
        return far[:0]
    starts = far[np.flatnonzero(np.diff(far, prepend=far[0] - 2) > 1)]
    day = seconds[starts].astype("datetime64[s]").astype("datetime64[D]")
    new_year = day == day.astype("datetime64[Y]").astype("datetime64[D]")
    return far if new_year.all() else far[:0]
