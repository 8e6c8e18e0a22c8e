"""How far a trace has come towards a marker, and the day it gets there."""

from __future__ import annotations

from dataclasses import dataclass

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

    values: FloatArray  # shape (traces, days)
    need: FloatArray  # broadcasts to (traces, days)
    start: FloatArray  # shape (traces,)
    falling: bool = False

    def dates(self) -> FloatArray:
        """Column of the day each trace gets there, shape (traces,)."""
        reached = self.values <= self.need if self.falling else self.values >= self.need
        reached = reached & (np.arange(self.values.shape[1]) >= self.start[:, None])
        return np.where(reached.any(axis=1), reached.argmax(axis=1), NEVER)


def since(start: FloatArray, daily: FloatArray) -> FloatArray:
    """Running sum of `daily` from the start of each trace on, shape (traces, days)."""
    counted = np.arange(daily.shape[1]) >= start[:, None]
    return np.cumsum(np.where(counted, daily, 0.0), axis=1)


def still_to_come(until: FloatArray, daily: FloatArray) -> FloatArray:
    """Sum of `daily` from each day to the day before `until`; infinite where that is never reached."""
    counted = np.arange(daily.shape[1]) < until[:, None]
    left = np.cumsum(np.where(counted, daily, 0.0)[:, ::-1], axis=1)[:, ::-1]
    return np.where(np.isfinite(until)[:, None], left, np.inf)


def mean_of_last(days: int, daily: FloatArray) -> FloatArray:
    """Mean of the last `days` days; the first columns, which have fewer behind them, are NaN."""
    total = np.cumsum(daily, axis=1)
    means = np.full_like(daily, np.nan)
    means[:, days - 1 :] = total[:, days - 1 :] / days
    means[:, days:] -= total[:, :-days] / days
    return means


def lagged(daily_c: FloatArray, lag_days: float) -> FloatArray:
    """First-order lag of daily means, as the middle of a pot follows the air; same shape.

    dTr/dt = (Ta - Tr) / lag, solved over steps of a day with Ta constant within the day. From memory: no
    published model for pots was found; without sun on the pot it errs on the cold side.
    """
    keep = float(np.exp(-1 / lag_days))
    root = np.empty_like(daily_c)
    root[:, 0] = daily_c[:, 0]
    for day in range(1, daily_c.shape[1]):
        root[:, day] = keep * root[:, day - 1] + (1 - keep) * daily_c[:, day]
    return root
