"""Readings that can't be, whatever the climate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from season_engine.facts import Degrees
from season_engine.messages import Message
from season_engine.weather.quality.readings import HIGHEST, LOWEST, NAMES, Finding, Readings, runs

COLDEST_C, HOTTEST_C = -89.4, 57.7  # the world's records as GHCN-Daily uses them (from memory)
NAUGHTS_C = (0.0, -160.0 / 9.0)  # nought in degC and in degF


def naught(readings: Readings) -> Iterator[Finding]:
    """Both extremes exactly 0 (degC or degF): a blank that became a number."""
    for zero in NAUGHTS_C:
        low, high = np.abs(readings.values - zero) < 1e-9
        for first, last in runs(low & high):
            yield Finding(
                first,
                last,
                (LOWEST, HIGHEST),
                Message("both readings are nought, as a blank field may become"),
            )


def bounds(readings: Readings) -> Iterator[Finding]:
    """Colder or hotter than was ever measured on Earth."""
    for row, values in enumerate(readings.values):
        for day in np.flatnonzero((values < COLDEST_C) | (values > HOTTEST_C)).tolist():
            never = Message("the {name} reading, {reading}, was never reached on Earth")
            reading = Degrees(float(values[day]), 1)
            yield Finding(day, day, (row,), Message(never, name=NAMES[row], reading=reading))


def crossed(readings: Readings) -> Iterator[Finding]:
    """Tmin above Tmax: one of the two is wrong, or they are swapped; neither is believed."""
    low, high = readings.values
    for day in np.flatnonzero(low > high).tolist():
        above = Message("the lowest reading, {low}, is above the highest, {high}")
        reason = Message(above, low=Degrees(float(low[day]), 1), high=Degrees(float(high[day]), 1))
        yield Finding(day, day, (LOWEST, HIGHEST), reason)
