"""A lasting shift of level: the sensor was moved, or its screen changed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from season_engine.weather.faults import EXTREMES, Shifted
from season_engine.weather.normals import middle_of, through_the_year
from season_engine.weather.quality.readings import Finding, Readings
from season_engine.weather.series import FloatArray

SIDE_DAYS = 365  # compared before and after
FEWEST_DAYS = 330  # of them read
FEWEST_BESIDE_DAYS = 120  # of them read, where the second source takes the weather out
STEP_C = 4.0  # a year may be nearly so much warmer than the one before
STEP_BESIDE_C = 1.25  # two places have warm years together


def steps(readings: Readings) -> Iterator[Finding]:
    """Days from which one extreme reads higher or lower for good; said, but no reading is left out.

    In the manner of the standard normal homogeneity test (Alexandersson 1986): means before and after each
    day, of what is left when the usual course of the year, or the second source, is taken away.
    """
    alone = readings.second is None
    fewest, limit = (FEWEST_DAYS, STEP_C) if alone else (FEWEST_BESIDE_DAYS, STEP_BESIDE_C)
    for row, values in enumerate(readings.values):
        rest = values - (_usual(readings, values) if readings.second is None else readings.second[row])
        shift = _shift(rest, fewest)
        while shift.size and np.nanmax(np.abs(shift), initial=0.0) >= limit:
            day = int(np.nanargmax(np.abs(shift)))
            yield Finding(day, day, (row,), Shifted(EXTREMES[row], float(shift[day]), not alone))
            shift[max(0, day - SIDE_DAYS) : day + SIDE_DAYS] = np.nan


def _usual(readings: Readings, values: FloatArray) -> FloatArray:
    (middle,) = through_the_year(values, readings.calendar_day, middle_of, half_window_days=15, fewest=20)
    usual: FloatArray = middle[readings.calendar_day]
    return usual


def _shift(rest: FloatArray, fewest: int) -> FloatArray:
    """Mean of the year from each day on less that of the year before, NaN where too few days are read."""
    read = ~np.isnan(rest)
    sums = np.concatenate(([0.0], np.cumsum(np.where(read, rest, 0.0))))
    counts = np.concatenate(([0], np.cumsum(read)))
    day = np.arange(rest.size)
    before, after = np.maximum(day - SIDE_DAYS, 0), np.minimum(day + SIDE_DAYS, rest.size)
    count_before, count_after = counts[:-1] - counts[before], counts[after] - counts[:-1]
    enough = (count_before >= fewest) & (count_after >= fewest)
    mean_before = (sums[:-1] - sums[before]) / np.maximum(count_before, 1)
    mean_after = (sums[after] - sums[:-1]) / np.maximum(count_after, 1)
    return np.where(enough, mean_after - mean_before, np.nan)
