"""Which days have readings enough that none of their extremes can well have been missed."""

from __future__ import annotations

import numpy as np

from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.logger.on_change import days_covered
from season_engine.weather.logger.order import HOUR, IntArray
from season_engine.weather.series import BoolArray

_HOURS_NEEDED = 20  # of 24: with under 80 in 100 of its readings a day may have missed its extremes
LONGEST_HOURS = 3  # between readings, where a grower has no others


def full_days(
    seconds: IntArray, first_day: int, count: int, *, on_change: bool = False, hours_apart: int = 1
) -> BoolArray:
    """Which of so many days have readings in enough of their hours, shape (count,).

    Readings written `on_change` hold until the next: of them a day needs no hours, but no long gap either. Of
    readings `hours_apart` a day needs all: where one is lacking, the gap may hide a whole night.

    `seconds` (since 1970, on the clock days go by) are of shape (readings,).
    """
    if on_change:
        return days_covered(seconds, first_day, count)
    slots = np.zeros((count, 24 // hours_apart), dtype=bool)
    slots[seconds // DAY_SECONDS - first_day, seconds % DAY_SECONDS // (HOUR * hours_apart)] = True
    needed = _HOURS_NEEDED if hours_apart == 1 else slots.shape[1]
    return np.asarray(slots.sum(axis=1) >= needed)


def usual_hours_apart(seconds: IntArray) -> int:
    """How many hours readings in order of time are apart as a rule, rounded up: 1, 2 or 3."""
    usual = float(np.median(np.diff(seconds))) / HOUR if seconds.size > 1 else 1.0
    return min(max(int(np.ceil(usual)), 1), LONGEST_HOURS)
