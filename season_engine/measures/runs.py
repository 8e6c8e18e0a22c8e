"""Runs of days, running means, and the end of growth."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


def run_lengths(holds: ArrayLike) -> IntArray:
    """How many days in a row, up to and including each day, something has held; shape (..., days).

    A missing day holds nothing: give False there.
    """
    true = np.asarray(holds, bool)
    day = np.arange(1, true.shape[-1] + 1)
    last_break = np.maximum.accumulate(np.where(true, 0, day), axis=-1)
    return np.asarray(day - last_break, np.int64)


def first_run(holds: ArrayLike, length: int, from_day: ArrayLike = 0) -> FloatArray:
    """First day of the first run of at least `length` days that begins on `from_day` or later.

    Parameters
    ----------
    holds : shape (..., days).
    from_day : day number from 0, shape (...).

    Returns
    -------
    Day number, shape (...); infinite where there is no such run.
    """
    true = np.asarray(holds, bool)
    start = np.asarray(from_day, np.float64)[..., None]
    counted = true & (np.arange(true.shape[-1]) >= start)
    reached = run_lengths(counted) >= length
    day = np.where(reached, np.arange(true.shape[-1], dtype=np.float64), np.inf)
    return np.asarray(day.min(axis=-1, initial=np.inf) - (length - 1.0))


def longest_run(holds: ArrayLike) -> IntArray:
    """Length of the longest run of days, shape (...)."""
    return np.asarray(run_lengths(holds).max(axis=-1, initial=0), np.int64)


def end_of_growth(
    daily_c: ArrayLike, level_c: float = 5.0, run_days: int = 6, from_day: ArrayLike = 0
) -> FloatArray:
    """First day of the first spell of at least `run_days` below a level, from a day in summer on.

    Parameters
    ----------
    daily_c : degC, daily means of the air, or of the root zone for the end of root growth; (..., days).
    level_c, run_days : 5 degC and six days are those of the climate index "growing season length" of the
        expert team on climate change detection (from memory), where leaves and shoots are long done.
    from_day : day to search from, at or after midsummer; shape (...).

    Returns
    -------
    Day number, shape (...); infinite where it stays warm. A missing day ends a spell.
    """
    daily = np.asarray(daily_c, np.float64)
    return first_run(daily < level_c, run_days, from_day)


def mean_of_last(days: int, daily: ArrayLike) -> FloatArray:
    """Mean of the last `days` days, shape (..., days); the first, which have fewer behind them, are NaN."""
    values = np.asarray(daily, np.float64)
    total = np.cumsum(values, axis=-1)
    means = np.full_like(values, np.nan)
    means[..., days - 1 :] = total[..., days - 1 :] / days
    means[..., days:] -= total[..., :-days] / days
    return means
