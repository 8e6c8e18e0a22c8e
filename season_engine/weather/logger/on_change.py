"""Records of a sensor that writes only when its temperature has changed, at times of its own."""

from __future__ import annotations

import numpy as np

from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.logger.order import IntArray
from season_engine.weather.series import BoolArray, FloatArray

LONGEST_USUAL_SECONDS = 2 * 3600  # between readings: beyond it they are too few, whatever they are
# A value holds until the next. In three hours without one, as in the four that readings by the hour may lack,
# a radio may have been silent over a day's lowest or highest: our choice, no source.
LONGEST_GAP_SECONDS = 3 * 3600
_NEAR, _STEADY, _STILL = 0.1, 0.5, 0.5
_FEWEST = 48


def is_on_change(seconds: IntArray, temp_c: FloatArray) -> bool:
    """Whether readings, in order of time and of shape (readings,), are written on change: neither at
    steady times nor mostly with the same value again.
    """
    if seconds.size < _FEWEST:
        return False
    steps = np.diff(seconds)
    usual = float(np.median(steps))
    steady = float(np.mean(np.abs(steps - usual) <= _NEAR * usual))
    return steady < _STEADY and float(np.mean(np.diff(temp_c) == 0)) < _STILL


def days_covered(seconds: IntArray, first_day: int, count: int) -> BoolArray:
    """Which of so many days, shape (count,), have no long gap in or over them; seconds on their clock."""
    ends = np.concatenate(([first_day * DAY_SECONDS], np.sort(seconds), [(first_day + count) * DAY_SECONDS]))
    covered: BoolArray = np.ones(count, dtype=bool)
    for at in np.flatnonzero(np.diff(ends) > LONGEST_GAP_SECONDS):
        covered[ends[at] // DAY_SECONDS - first_day : -(-ends[at + 1] // DAY_SECONDS) - first_day] = False
    return covered
