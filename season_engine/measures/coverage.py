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


def weighed(sum_of_present: FloatArray, coverage: FloatArray, missing: Missing) -> Measured:
    """Apply the policy to a sum over the parts that are there."""
    whole = coverage >= 1.0 - 1e-9  # shares are added up: a whole may be short by rounding
    if missing == "refuse":
        return Measured(np.where(whole, sum_of_present, np.nan), coverage)
    scale = np.where(whole | (coverage <= 0.0), 1.0, coverage) if missing == "scale_up" else 1.0
    return Measured(np.where(coverage > 0.0, sum_of_present / scale, np.nan), coverage)
