"""How far a trace has come towards a marker, and the day it gets there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
NEVER = np.inf


@dataclass(frozen=True)
class Progress:
    """Daily values to be held against a need, counted from a start of each trace's own.

    A marker happens on the first day at or after `start` on which the value is at or above `need`
    (or at or below, where `falling`). Columns of the trace are the days; `NEVER` is "not in this trace".
    """

    values: FloatArray  # shape (..., traces, days)
    need: FloatArray  # broadcasts to (..., traces, days)
    start: FloatArray  # shape (..., traces)
    falling: bool = False

    def dates(self) -> FloatArray:
        """Column of the day each trace gets there, shape (..., traces)."""
        reached = self.values <= self.need if self.falling else self.values >= self.need
        reached = reached & (np.arange(self.values.shape[-1]) >= self.start[..., None])
        return np.where(reached.any(axis=-1), reached.argmax(axis=-1), NEVER)

    def by(self, observed: NDArray[np.int64]) -> Reached:
        """What is to be kept of it when so many days are observed in each case, shape (...)."""
        last = np.asarray(observed) - 1
        both = (self.values, np.broadcast_to(self.need, self.values.shape))
        have, need = (np.where(last[..., None] < 0, np.nan, on_column(one, last)) for one in both)
        return Reached(self.dates(), have, need, have <= need if self.falling else have >= need)


@dataclass(frozen=True)
class Reached:
    """What is kept of a progress: the daily values of a whole catalogue would take gigabytes."""

    dates: FloatArray  # column of the day each trace gets there, shape (..., traces)
    have: FloatArray  # value on the last day observed, shape (..., traces); NaN where no day is
    need: FloatArray  # of that day, likewise
    holds: NDArray[np.bool_]  # whether that value would do, though it may not count yet


def on_column(daily: FloatArray, column: NDArray[np.int64]) -> FloatArray:
    """Values on one column of each case, shape (...), of every trace: (..., traces)."""
    if column.ndim == 0:
        return daily[..., int(column)]
    picked = np.broadcast_to(column[..., None, None], (*daily.shape[:-1], 1))
    return np.asarray(np.take_along_axis(daily, picked, axis=-1)[..., 0])


def since(start: FloatArray, daily: FloatArray) -> FloatArray:
    """Running sum of `daily` from the start of each trace on, shape (..., traces, days)."""
    counted = np.arange(daily.shape[-1]) >= start[..., None]
    return np.cumsum(np.where(counted, daily, 0.0), axis=-1)


def still_to_come(until: FloatArray, daily: FloatArray) -> FloatArray:
    """Sum of `daily` from each day to the day before `until`; infinite where that is never reached."""
    counted = np.arange(daily.shape[-1]) < until[..., None]
    left = np.cumsum(np.where(counted, daily, 0.0)[..., ::-1], axis=-1)[..., ::-1]
    return np.where(np.isfinite(until)[..., None], left, np.inf)


def over_traces(weights: FloatArray, values: NDArray[Any]) -> FloatArray:
    """Mean of `values`, shape (..., traces, days), by the traces' weights; shape (..., days).

    A product of matrices, so that a case gives the same bits alone and among others: a share of years often
    lies right on its mark.
    """
    mean: FloatArray = (weights[..., None, :] @ values)[..., 0, :]
    return mean
