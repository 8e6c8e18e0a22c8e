"""The first day on which a value, or a sum of days, is as much or as little as is needed.

Columns of days in arrays [..., trace, day]; infinite where none is. Here in whole arrays, and in
`first_day_kernel` trace by trace, to the same bit.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
NEVER = np.inf


class DaysAsked(Protocol):
    """Daily values that are worked out as far as they are asked for; as a whole where they are an array."""

    shape: tuple[int, ...]

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> NDArray[Any]: ...

    def first_day_of_values(self, need: FloatArray, start: FloatArray, falling: bool) -> FloatArray:
        """See below."""

    def first_day_of_sum(self, since: FloatArray, need: FloatArray) -> FloatArray:
        """See below."""


Days = FloatArray | DaysAsked


class FirstDays(NamedTuple):
    """One way of finding them."""

    of_values: Callable[[Days, FloatArray, FloatArray, bool], FloatArray]
    of_sum: Callable[[Days, FloatArray, FloatArray], FloatArray]
    of_rest: Callable[[Days, FloatArray, FloatArray, FloatArray], FloatArray]


def first_day_of_values(values: Days, need: FloatArray, start: FloatArray, falling: bool) -> FloatArray:
    """First day at or after `start`, (..., traces), with a value at or above `need`, or at or below it.

    `values` and `need` broadcast to (..., traces, days). A value that is missing is neither.
    """
    values = np.asarray(values)
    reached = values <= need if falling else values >= need
    reached = reached & (np.arange(values.shape[-1]) >= start[..., None])
    return np.where(reached.any(axis=-1), reached.argmax(axis=-1), NEVER)


def first_day_of_sum(daily: Days, since: FloatArray, need: FloatArray) -> FloatArray:
    """The same of the running sum of days from `since` on, at or above the need."""
    return first_day_of_values(running_sum(daily, since), need, since, False)


def first_day_of_rest(daily: Days, until: FloatArray, need: FloatArray, start: FloatArray) -> FloatArray:
    """The same of the sum of days from each to the one before `until`, at or below the need."""
    return first_day_of_values(rest_of_sum(daily, until), need, start, True)


def running_sum(daily: Days, since: FloatArray) -> FloatArray:
    """Running sum of `daily` from a day of each trace on, shape (..., traces, days)."""
    counted = np.arange(daily.shape[-1]) >= since[..., None]
    return np.cumsum(np.where(counted, daily, 0.0), axis=-1)


def rest_of_sum(daily: Days, until: FloatArray) -> FloatArray:
    """Sum of `daily` from each day to the one before `until`; infinite where that is never reached."""
    counted = np.arange(daily.shape[-1]) < until[..., None]
    left = np.cumsum(np.where(counted, daily, 0.0)[..., ::-1], axis=-1)[..., ::-1]
    return np.where(np.isfinite(until)[..., None], left, np.inf)


IN_ARRAYS = FirstDays(first_day_of_values, first_day_of_sum, first_day_of_rest)
