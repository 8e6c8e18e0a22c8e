"""The spread that past weather alone doesn't have, and how wide it must be for its odds to be honest."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

DRAWS = 15
OWN_YEARS = 10  # a station's own late forecasts, beside as many from training
COVERED = 0.8


@dataclass(frozen=True)
class Spread:
    """A model's error in days as a quantile grid, and how forecasts fared in training."""

    errors: FloatArray  # shape (draws,), median 0
    ratios: FloatArray  # misses in half-widths of the 80 % interval; empty before any hindcast


def error_quantiles(errors: FloatArray) -> FloatArray:
    """Errors as equally likely values around their middle."""
    grid = (np.arange(DRAWS) + 0.5) / DRAWS
    quantiles = np.quantile(errors, grid)
    return np.asarray(quantiles - np.median(quantiles))


def needed_scale(trained: FloatArray, own: FloatArray) -> float:
    """Factor on the spread by which four in five of past forecasts would have held what came.

    Split-conformal: the quantile of past misses, a station's own last years weighing as much as all of the
    training; 1 where nothing is known.
    """
    if trained.size == 0:
        return 1.0
    grid = (np.arange(OWN_YEARS) + 0.5) / OWN_YEARS
    together = np.concatenate([np.quantile(trained, grid), own[-OWN_YEARS:]])
    place = math.ceil(COVERED * (together.size + 1) - 1e-9)  # for a sample of this size
    return float(np.clip(np.sort(together)[min(place, together.size) - 1], 0.6, 2.5))
