"""Runs of days, and running means."""

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


def longest_run(holds: ArrayLike) -> IntArray:
    """Length of the longest run of days, shape (...)."""
    return np.asarray(run_lengths(holds).max(axis=-1, initial=0), np.int64)


def mean_of_last(days: int, daily: ArrayLike) -> FloatArray:
    """Mean of the last `days` days, shape (..., days); the first, which have fewer behind them, are NaN."""
    values = np.asarray(daily, np.float64)
    total = np.cumsum(values, axis=-1)
    means = np.full_like(values, np.nan)
    means[..., days - 1 :] = total[..., days - 1 :] / days
    means[..., days:] -= total[..., :-days] / days
    return means
