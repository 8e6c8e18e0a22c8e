"""How far a trace has come towards a marker, and the day it gets there."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.first_days import IN_ARRAYS, NEVER, Days, FirstDays, rest_of_sum, running_sum

FloatArray = NDArray[np.float64]


class Towards(ABC):
    """Daily values to be held against a need, counted from a start of each trace's own.

    A marker happens on the first day at or after `start` on which the value is at or above `need`
    (or at or below, where `falling`). Columns of the trace are the days; `NEVER` is "not in this trace".
    """

    need: FloatArray  # broadcasts to (..., traces, days)
    start: FloatArray  # shape (..., traces)
    falling: bool = False

    @abstractmethod
    def of_days(self) -> FloatArray:
        """The values, shape (..., traces, days)."""

    @abstractmethod
    def dates(self, first_days: FirstDays = IN_ARRAYS) -> FloatArray:
        """Column of the day each trace gets there, shape (..., traces)."""

    def dates_among(self, values: FloatArray) -> FloatArray:
        """The same where the values are there already."""
        return IN_ARRAYS.of_values(values, self.need, self.start, self.falling)

    def by(self, observed: NDArray[np.int64] | None, first_days: FirstDays = IN_ARRAYS) -> Reached:
        """What is to be kept of it when so many days are observed in each case, shape (...).

        None: the dates alone, where nobody asks how far it is.
        """
        if observed is None:
            dates = self.dates(first_days)
            nothing = np.full(dates.shape, np.nan)
            return Reached(dates, nothing, nothing, np.zeros(dates.shape, dtype=bool))
        last, values = np.asarray(observed) - 1, self.of_days()
        dates = self.dates_among(values)
        both = values, np.broadcast_to(self.need, values.shape)
        have, need = (np.where(last[..., None] < 0, np.nan, on_column(one, last)) for one in both)
        return Reached(dates, have, need, have <= need if self.falling else have >= need)


@dataclass(frozen=True)
class Progress(Towards):
    """Values as they are."""

    values: Days  # shape (..., traces, days)
    need: FloatArray
    start: FloatArray  # shape (..., traces)
    falling: bool = False

    def of_days(self) -> FloatArray:
        """They."""
        return np.asarray(self.values)

    def dates(self, first_days: FirstDays = IN_ARRAYS) -> FloatArray:
        """By the first value that does."""
        return first_days.of_values(self.values, self.need, self.start, self.falling)


@dataclass(frozen=True)
class SumSince(Towards):
    """The running sum of days from the start on."""

    daily: Days  # shape (..., traces, days)
    need: FloatArray
    start: FloatArray  # shape (..., traces)

    def of_days(self) -> FloatArray:
        """The sums."""
        return since(self.start, self.daily)

    def dates(self, first_days: FirstDays = IN_ARRAYS) -> FloatArray:
        """By the first sum that is enough."""
        return first_days.of_sum(self.daily, self.start, self.need)


@dataclass(frozen=True)
class SumLeft(Towards):
    """The sum of days still to come before a day of each trace, as it falls to a need."""

    daily: Days  # shape (..., traces, days)
    until: FloatArray  # shape (..., traces)
    need: FloatArray
    start: FloatArray  # shape (..., traces)
    falling: bool = True

    def of_days(self) -> FloatArray:
        """The sums."""
        return still_to_come(self.until, self.daily)

    def dates(self, first_days: FirstDays = IN_ARRAYS) -> FloatArray:
        """By the first sum that is little enough."""
        return first_days.of_rest(self.daily, self.until, self.need, self.start)


@dataclass(frozen=True)
class DaysSince(Towards):
    """So many days since a day of each trace, or, where they are negative, before it."""

    other: FloatArray  # shape (..., traces)
    days: int
    columns: NDArray[np.int64]  # of the traces' days

    @property
    def need(self) -> FloatArray:  # type: ignore[override]
        """The days."""
        return np.array(float(self.days))

    def of_days(self) -> FloatArray:
        """Days since the other, below nought before it."""
        return self.columns - self.other[..., None]

    def dates_among(self, values: FloatArray) -> FloatArray:
        """No values are needed."""
        return self.dates()

    def dates(self, first_days: FirstDays = IN_ARRAYS) -> FloatArray:
        """The day itself, the first one where it lies before, never where it lies beyond the last."""
        found = np.maximum(np.ceil(self.other + self.days), 0.0)
        return np.where(found < self.columns.size, found, NEVER)


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


def since(start: FloatArray, daily: Days) -> FloatArray:
    """Running sum of `daily` from the start of each trace on, shape (..., traces, days)."""
    return running_sum(daily, start)


def still_to_come(until: FloatArray, daily: Days) -> FloatArray:
    """Sum of `daily` from each day to the day before `until`; infinite where that is never reached."""
    return rest_of_sum(daily, until)


def over_traces(weights: FloatArray, values: NDArray[Any]) -> FloatArray:
    """Mean of `values`, shape (..., traces, days), by the traces' weights; shape (..., days).

    A product of matrices, so that a case gives the same bits alone and among others: a share of years often
    lies right on its mark.
    """
    mean: FloatArray = (weights[..., None, :] @ values)[..., 0, :]
    return mean
