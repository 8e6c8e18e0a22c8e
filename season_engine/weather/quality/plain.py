"""Readings that can't be, whatever the climate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from season_engine.weather.faults import EXTREMES, BothNought, Crossed, NeverReached
from season_engine.weather.quality.readings import HIGHEST, LOWEST, Finding, Readings, runs

COLDEST_C, HOTTEST_C = -89.4, 57.7  # the world's records as GHCN-Daily uses them (from memory)
NAUGHTS_C = (0.0, -160.0 / 9.0)  # nought in degC and in degF


def naught(readings: Readings) -> Iterator[Finding]:
    """Both extremes exactly 0 (degC or degF): a blank that became a number."""
    for zero in NAUGHTS_C:
        low, high = np.abs(readings.values - zero) < 1e-9
        for first, last in runs(low & high):
            yield Finding(first, last, (LOWEST, HIGHEST), BothNought())


def bounds(readings: Readings) -> Iterator[Finding]:
    """Colder or hotter than was ever measured on Earth."""
    for row, values in enumerate(readings.values):
        for day in np.flatnonzero((values < COLDEST_C) | (values > HOTTEST_C)).tolist():
            yield Finding(day, day, (row,), NeverReached(EXTREMES[row], float(values[day])))


def crossed(readings: Readings) -> Iterator[Finding]:
    """Tmin above Tmax: one of the two is wrong, or they are swapped; neither is believed."""
    low, high = readings.values
    for day in np.flatnonzero(low > high).tolist():
        yield Finding(day, day, (LOWEST, HIGHEST), Crossed(float(low[day]), float(high[day])))
