"""Readings that can be, but not here, not at this time of year, or not between these days."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.faults import EXTREMES, FarOff, MixedUnits
from season_engine.weather.normals import middle_and_spread, through_the_year
from season_engine.weather.quality.readings import (
    FEWEST_USUAL,
    HIGHEST,
    LOWEST,
    Finding,
    Readings,
    runs,
)
from season_engine.weather.series import BoolArray, FloatArray

MIX_UP_SPREADS = 3.0  # as read, both extremes are at least so far off the usual ...
LIKELY_SPREADS = 3.0  # ... and in the other unit they are nearer than this
APART_C = 10.0  # GHCN-Daily: a gap between a reading and all others of its calendar month
MOST_STEPS = 100  # from nought: no weather is farther
OUTLIER_SPREADS = 6.0  # GHCN-Daily, from a mean over 15 days of the year
SPIKE_STEPS = 4.0  # against the robust spread of steps from day to day (HadISD scales its spikes likewise)
SMALLEST_SPIKE_C = 10.0  # a frost in calm weather must not be mended away
SPIKE_C = 25.0  # GHCN-Daily, where too little is known of the spread
SPIKE_DAYS = (1, 2, 3)  # HadISD: up to three points
LOWEST_SPIKE_C = min(SMALLEST_SPIKE_C, SPIKE_C)
FEWEST_STEPS = 60
SECOND_SPREADS = 5.0
SMALLEST_SECOND_C = 6.0


def mixed_units(readings: Readings) -> Iterator[Finding]:
    """Readings in degF among degC, or the reverse: nonsense as they stand, usual in the other unit."""
    usual, spread = readings.usual
    if np.isnan(usual).all():
        usual, spread = readings.about_usual
    in_other_unit: tuple[tuple[Literal["degF", "degC"], FloatArray], ...] = (
        ("degF", (readings.values - 32.0) / 1.8),
        ("degC", readings.values * 1.8 + 32.0),
    )
    for unit, converted in in_other_unit:
        off, off_converted = ((values - usual) / spread for values in (readings.values, converted))
        same_way = np.sign(off[LOWEST]) == np.sign(off[HIGHEST])
        mixed = (np.abs(off) >= MIX_UP_SPREADS).all(axis=0) & (np.abs(off_converted) <= LIKELY_SPREADS).all(
            axis=0
        )
        for first, last in runs(mixed & same_way):
            low, high = (float(readings.values[row, first]) for row in (LOWEST, HIGHEST))
            yield Finding(first, last, (LOWEST, HIGHEST), MixedUnits(low, high, unit))


def apart(readings: Readings) -> Iterator[Finding]:
    """Ten degrees away from every other reading of its calendar month."""
    months = readings.days.astype("datetime64[M]").astype(np.int64) % 12
    for row, values in enumerate(readings.values):
        for month in _with_gaps(values, months):
            days = np.flatnonzero((months == month) & ~np.isnan(values))
            if days.size < FEWEST_USUAL:
                continue
            for day in _outside_gap(days[np.argsort(values[days], kind="stable")], values):
                far = FarOff(EXTREMES[row], float(values[day]), APART_C, "its month")
                yield Finding(day, day, (row,), far)


def _with_gaps(values: FloatArray, months: NDArray[np.int64]) -> list[int]:
    """Months that may have a wide gap among their readings: a bin of half as much between others is empty."""
    read = ~np.isnan(values)
    if not read.any():
        return []
    steps = np.floor(values[read] / (APART_C / 2))
    if np.abs(steps).max() > MOST_STEPS:
        return [*range(12)]
    bins = (steps - steps.min()).astype(np.int64)
    width = int(bins.max()) + 1
    there = np.bincount(months[read] * width + bins, minlength=12 * width).reshape(12, width) > 0
    between = (
        np.logical_or.accumulate(there, axis=1) & np.logical_or.accumulate(there[:, ::-1], axis=1)[:, ::-1]
    )
    found: list[int] = np.flatnonzero((between & ~there).any(axis=1)).tolist()
    return found


def _outside_gap(ascending: np.ndarray, values: FloatArray) -> list[int]:
    """Positions beyond the first wide gap above or below the median, in order of days."""
    wide = np.diff(values[ascending]) >= APART_C
    middle = ascending.size // 2
    above, below = np.flatnonzero(wide[middle:]), np.flatnonzero(wide[:middle])
    outside = [*ascending[middle + above[0] + 1 :]] if above.size else []
    outside += [*ascending[: below[-1] + 1]] if below.size else []
    return sorted(int(day) for day in outside)


def outliers(readings: Readings) -> Iterator[Finding]:
    """Six spreads and more from what is usual at this time of year."""
    usual, spread = readings.usual
    for row, values in enumerate(readings.values):
        off = np.abs(values - usual[row])
        for day in np.flatnonzero(off >= OUTLIER_SPREADS * spread[row]).tolist():
            far = FarOff(EXTREMES[row], float(values[day]), float(off[day]), "the time of year")
            yield Finding(day, day, (row,), far)


def spikes(readings: Readings) -> Iterator[Finding]:
    """One to three days far above, or far below, the day before and the day after."""
    for row, values in enumerate(readings.values):
        heights = [_stands_out(values, days) for days in SPIKE_DAYS]
        high = [np.flatnonzero(height >= LOWEST_SPIKE_C) for height in heights]
        asked = np.concatenate(high) + 1
        if not asked.size:
            continue
        limit = _spike_limit(readings, values, asked)
        for days, height, places in zip(SPIKE_DAYS, heights, high, strict=True):
            for day in places[height[places] >= limit[places + 1]].tolist():
                first, last = day + 1, day + days
                inside, beside = values[first : last + 1], values[[first - 1, last + 1]]
                far = np.abs(inside[:, None] - beside).min()
                most = inside[np.argmax(np.abs(inside - beside.mean()))]
                off = FarOff(EXTREMES[row], float(most), float(far), "the days beside")
                yield Finding(first, last, (row,), off)


def _stands_out(values: FloatArray, days: int) -> FloatArray:
    """By how much so many days lie above, or below, both neighbours; one entry for each place of the run."""
    if values.size < days + 2:
        return np.empty(0)
    places = values.size - days - 1
    before, *inside, after = (values[first : first + places] for first in range(days + 2))
    above = np.minimum.reduce(inside) - np.maximum(before, after)
    below = np.minimum(before, after) - np.maximum.reduce(inside)
    result: FloatArray = np.maximum(above, below)
    return result


def _spike_limit(readings: Readings, values: FloatArray, days: NDArray[np.int64]) -> FloatArray:
    """From which height on a spike is one, shape (days,); it means something on the days asked for."""
    steps, place = np.diff(values, prepend=np.nan), readings.calendar_day
    _, of_year = through_the_year(
        steps, place, middle_and_spread, half_window_days=30, fewest=FEWEST_STEPS, asked=place[days]
    )
    spread = of_year[place]
    return np.where(np.isnan(spread), SPIKE_C, np.maximum(SPIKE_STEPS * spread, SMALLEST_SPIKE_C))


def beside_second_source(readings: Readings) -> Iterator[Finding]:
    """Far from what the second source, in this yard's terms, says of the same day."""
    if readings.second is None:
        return
    off = readings.values - readings.second
    for row, differences in enumerate(off):
        _, of_year = through_the_year(
            differences, readings.calendar_day, middle_and_spread, half_window_days=45, fewest=FEWEST_STEPS
        )
        spread = of_year[readings.calendar_day]
        false: BoolArray = np.abs(differences) >= np.maximum(SECOND_SPREADS * spread, SMALLEST_SECOND_C)
        for day in np.flatnonzero(false).tolist():
            reading, distance = float(readings.values[row, day]), abs(float(differences[day]))
            far = FarOff(EXTREMES[row], reading, distance, "the second source")
            yield Finding(day, day, (row,), far)
