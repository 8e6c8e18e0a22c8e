"""How warmth reaches the middle of a standing cylinder: as a sum of first-order lags."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.pot import Pot

FloatArray = NDArray[np.float64]

ROOTS = 24  # of each direction, enough for a hundredth of a degree up to 500 litres
ANGLES = 64  # enough for Bessel functions up to the last of these roots


class Lags(NamedTuple):
    """First-order lags side by side, which add up to one: ``sum(share * lagged(air, 1 / rate_per_h))``."""

    share: FloatArray  # shape (lags,)
    rate_per_h: FloatArray  # shape (lags,), one over the time constant


@lru_cache(maxsize=64)
def lags_of_middle(pot: Pot) -> Lags:
    """Lags by which the middle of a pot follows one temperature all round, solved exactly.

    Heat comes in through side and top, each by its own exchange, and none through the bottom. Each lag is a
    mode of a cylinder times one of a slab; the quickest, which no hour can tell from the air, are one without
    any lag.

    References
    ----------
    Carslaw, H. S. & Jaeger, J. C. (1959), Conduction of heat in solids (from memory; checked in the tests
    against its periodic solution and against a simulation).
    """
    across, along = pot.diameter_m / 2.0, pot.depth_m
    conductivity, capacity = pot.mix
    side, side_root = cylinder_modes(pot.side_w_m2_k * across / conductivity)
    top, top_root = slab_modes(pot.top_w_m2_k * along / conductivity)
    share = np.outer(side, top).ravel()
    rate = conductivity / capacity * 3600.0 * np.add.outer((side_root / across) ** 2, (top_root / along) ** 2)
    return Lags(np.append(share, 1.0 - share.sum()), np.append(rate.ravel(), np.inf))


def cylinder_modes(biot: float) -> tuple[FloatArray, FloatArray]:
    """Share and root of the modes on the axis of a long cylinder, the roots of ``b J1(b) = Bi J0(b)``."""

    def balance(root: FloatArray) -> FloatArray:
        return root * bessel_j(1, root) - biot * bessel_j(0, root)

    root = _roots(balance)
    return 2.0 * biot / ((root**2 + biot**2) * bessel_j(0, root)), root


def slab_modes(biot: float) -> tuple[FloatArray, FloatArray]:
    """The same half way into a slab that exchanges heat on one face, the roots of ``g tan(g) = Bi``."""

    def balance(root: FloatArray) -> FloatArray:
        return root * np.sin(root) - biot * np.cos(root)

    root = _roots(balance)
    share = 2.0 * np.sin(root) * np.cos(root / 2.0) / (root + np.sin(root) * np.cos(root))
    return share, root


def bessel_j(order: int, x: ArrayLike) -> FloatArray:
    """Bessel function of the first kind, for x up to eighty: Bessel's integral by the midpoint rule."""
    angle = (np.arange(ANGLES) + 0.5) * np.pi / ANGLES
    value: FloatArray = np.cos(order * angle - np.multiply.outer(x, np.sin(angle))).mean(axis=-1)
    return value


def _roots(balance: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """The one root between each two multiples of pi, where the balance rises and falls in turn."""
    low, rising = np.arange(ROOTS) * np.pi, np.where(np.arange(ROOTS) % 2, -1.0, 1.0)
    high = low + np.pi
    for _ in range(32):
        middle = (low + high) / 2.0
        below = rising * balance(middle) < 0.0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return (low + high) / 2.0
