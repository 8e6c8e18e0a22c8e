"""Odds of a date: days it may fall on, each with its weight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

ROUNDING = 1e-9  # in sums of weights


@dataclass(frozen=True)
class DateOdds:
    """Chances of a date in arrays [..., chance]; leading axes, where there are any, are cases.

    `days` are whole columns of a trace or days of a season, infinite where the date never comes; `weights`
    sum to 1 in each case, and may be 0.
    """

    days: FloatArray  # shape (..., chances)
    weights: FloatArray  # shape (..., chances)

    def by(self, odds: ArrayLike) -> FloatArray:
        """First day by which the date has come with such odds; infinite where it never has them.

        Shape (...) for one of the odds, (n, ...) for n of them.
        """
        if not self.days.shape[-1]:
            return np.full((*np.shape(odds), *self.days.shape[:-1]), np.inf)
        order = np.argsort(self.days, axis=-1, kind="stable")
        days = np.take_along_axis(self.days, order, axis=-1)
        reached = np.cumsum(np.take_along_axis(self.weights, order, axis=-1), axis=-1)
        asked = np.asarray(odds, np.float64).reshape(-1, *[1] * reached.ndim)
        place = np.count_nonzero(reached < asked - ROUNDING, axis=-1)
        within = np.minimum(place, days.shape[-1] - 1)
        shape = (place.shape[0], *days.shape)
        found = np.take_along_axis(np.broadcast_to(days, shape), within[..., None], axis=-1)[..., 0]
        found = np.where(place < days.shape[-1], found, np.inf)
        return np.asarray(found if np.ndim(odds) else found[0])

    @property
    def not_reached(self) -> FloatArray:
        """Chance that the date never comes, shape (...)."""
        return np.asarray(np.where(np.isfinite(self.days), 0.0, self.weights).sum(axis=-1))

    def after(self, day: ArrayLike) -> DateOdds:
        """Without the chances up to a day of each case, given that it has not come by then.

        Where no chance is left, it is the next day.
        """
        known = np.asarray(day, np.float64)[..., None]
        left = np.where(self.days > known, self.weights, 0.0)
        total = left.sum(axis=-1, keepdims=True)
        gone = total <= 0.0
        weights = np.where(gone, self.weights, left / np.where(gone, 1.0, total))
        return DateOdds(np.where(gone, known + 1.0, self.days), weights)
