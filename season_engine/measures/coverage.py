"""Sums that say how much of them was there."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray


class DailyMeasure(NamedTuple):
    """A measure of each day, shape (..., days), added up from the parts that are present."""

    value: NDArray[np.float64]  # NaN where no part is present
    coverage: NDArray[np.float64]  # share of the parts that are, 0 to 1


def daily(per_hour: ArrayLike) -> DailyMeasure:
    """Add up each day's hours: shape (..., days, 24) to (..., days).

    A missing hour (NaN) adds nothing and lowers the coverage.
    """
    hours = np.asarray(per_hour, np.float64)
    present = np.isfinite(hours)
    value = np.where(present.any(axis=-1), np.sum(hours, axis=-1, where=present), np.nan)
    return DailyMeasure(value, present.mean(axis=-1))


def running_total(measure: DailyMeasure) -> DailyMeasure:
    """Add up the days so far; the coverage is that of all hours so far."""
    present = np.isfinite(measure.value)
    value = np.cumsum(np.where(present, measure.value, 0.0), axis=-1)
    days = np.arange(1, value.shape[-1] + 1)
    return DailyMeasure(
        np.where(np.logical_or.accumulate(present, axis=-1), value, np.nan),
        np.cumsum(measure.coverage, axis=-1) / days,
    )
