"""Sums that say how much of them was there, and what to do about what was not."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

Missing = Literal["refuse", "leave_out", "scale_up"]
"""What a sum does about parts that are missing.

``refuse``: the sum is NaN as soon as one part is missing. ``leave_out``: what is there is added up, and the
rest counts as nothing. ``scale_up``: what is there stands for the rest, as if the missing parts were like the
mean of the others. The coverage is given in any case.
"""


class Measured(NamedTuple):
    """A sum and the share of its parts that were there."""

    value: FloatArray  # NaN where it is refused, or where no part was there
    coverage: FloatArray  # 0 to 1, same shape


def daily(per_hour: ArrayLike, missing: Missing = "refuse") -> Measured:
    """Add up each day's hours: shape (..., days, 24) to (..., days); a missing hour is NaN."""
    hours = np.asarray(per_hour, np.float64)
    present = np.isfinite(hours)
    return weighed(np.sum(hours, axis=-1, where=present), present.mean(axis=-1), missing)


def total(
    per_day: ArrayLike | Measured, missing: Missing = "refuse", least_coverage: float = 0.0
) -> Measured:
    """Add up days, shape (..., days) to (...).

    Parameters
    ----------
    per_day : values of days, NaN where missing; or a measure whose days may be covered in part.
    missing : see `Missing`.
    least_coverage : the sum is NaN if less than this share of it was there, whatever the policy.
    """
    value, coverage = per_day if isinstance(per_day, Measured) else _with_coverage(per_day)
    present = np.isfinite(value)
    share = np.where(present, coverage, 0.0).mean(axis=-1)
    found = weighed(np.sum(value, axis=-1, where=present), share, missing)
    return found._replace(value=np.where(share < least_coverage, np.nan, found.value))


def running_total(per_day: ArrayLike | Measured, missing: Missing = "refuse") -> Measured:
    """Add up the days so far, shape (..., days); the coverage is that of the days so far."""
    value, coverage = per_day if isinstance(per_day, Measured) else _with_coverage(per_day)
    present = np.isfinite(value)
    days = np.arange(1, value.shape[-1] + 1)
    share = np.cumsum(np.where(present, coverage, 0.0), axis=-1) / days
    return weighed(np.cumsum(np.where(present, value, 0.0), axis=-1), share, missing)


def weighed(sum_of_present: FloatArray, coverage: FloatArray, missing: Missing) -> Measured:
    """Apply the policy to a sum over the parts that are there."""
    whole = coverage >= 1.0 - 1e-9  # shares are added up: a whole may be short by rounding
    if missing == "refuse":
        return Measured(np.where(whole, sum_of_present, np.nan), coverage)
    scale = np.where(whole | (coverage <= 0.0), 1.0, coverage) if missing == "scale_up" else 1.0
    return Measured(np.where(coverage > 0.0, sum_of_present / scale, np.nan), coverage)


def _with_coverage(per_day: ArrayLike) -> Measured:
    value = np.asarray(per_day, np.float64)
    return Measured(value, np.isfinite(value).astype(np.float64))
