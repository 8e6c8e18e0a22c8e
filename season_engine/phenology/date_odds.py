"""Odds of a date: days it may fall on, each with its weight."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

ROUNDING = 1e-9  # in sums of weights
LATEST = 32_000.0  # day, far beyond any trace's last, that is sorted behind all others


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
        ever, reached = self._in_order
        asked = np.asarray(odds, np.float64).reshape(-1) - ROUNDING
        if ever.ndim == 1:
            found = ever[np.searchsorted(reached, asked)]
        else:
            place = np.count_nonzero(reached[..., None, :] < asked[:, None], axis=-1)
            found = np.moveaxis(np.take_along_axis(ever, place, axis=-1), -1, 0)
        return np.asarray(found if np.ndim(odds) else found[0])

    @cached_property
    def _in_order(self) -> tuple[FloatArray, FloatArray]:
        """Days from the first on with never after the last, and the odds that are there by each."""
        order = np.argsort(_sooner_sorted(self.days), axis=-1, kind="stable")
        days, weights = (_ordered(values, order) for values in (self.days, self.weights))
        ever = np.concatenate([days, np.full((*days.shape[:-1], 1), np.inf)], axis=-1)
        return ever, np.cumsum(weights, axis=-1)

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


def _ordered(values: FloatArray, order: NDArray[np.intp]) -> FloatArray:
    """Values of each case in an order, shape of both; of one case by plain places, which is faster."""
    return values[order] if order.ndim == 1 else np.take_along_axis(values, order, axis=-1)


def _sooner_sorted(days: FloatArray) -> NDArray[Any]:
    """The days as numbers of two bytes, which are sorted by their digits, where they are whole."""
    near = np.clip(days, -LATEST, LATEST)
    whole = near.astype(np.int16)
    return whole if (whole == near).all() else days
