"""Chill that counts by degrees rather than as met or not met."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def bell_shaped_chilling(
    temperature_c: ArrayLike, sharpness: float, skew_per_c: float, centre_c: float
) -> FloatArray:
    """Chilling rate ``1 / (1 + exp(a (T - c)^2 + b (T - c)))``, without a corner anywhere.

    Parameters
    ----------
    temperature_c : degC, any shape.
    sharpness : a [per degC squared], nought or more: how narrow the bell is; with 0 it is a plain sigmoid.
    skew_per_c : b [per degC]: which side falls off faster; with 0 the bell is even, and 0.5 high.
    centre_c : c [degC].

    Returns
    -------
    Chilling units per step, 0 to 1; NaN where the temperature is. No defaults: all three are fitted.

    References
    ----------
    Chuine, I. (2000), A unified model for budburst of trees, Journal of Theoretical Biology 207, 337-347
    (read in a secondary copy, the R package phenor).
    """
    apart = np.asarray(temperature_c, np.float64) - centre_c
    return 1.0 / (1.0 + np.exp(np.clip(sharpness * apart**2 + skew_per_c * apart, -700.0, 700.0)))


def heat_needed_after_chill(
    chill: ArrayLike, least: float, more_without_chill: float, softening: float
) -> FloatArray:
    """Heat a tree still wants after so much chill: ``least + more_without_chill * exp(-softening * chill)``.

    The softer the winter, the more heat; no amount of chill is the one that counts as enough.

    Parameters
    ----------
    chill : chill so far, any unit and shape.
    least, more_without_chill : heat that even full chill leaves, and what comes on top without any.
    softening : per unit of chill.

    References
    ----------
    Form of Murray, M. B., Cannell, M. G. R. & Smith, R. I. (1989), Date of budburst of fifteen tree species
    in Britain following climatic warming, Journal of Applied Ecology 26, 693-700 (read as an abstract), after
    Cannell & Smith (1983), Thermal time, chill days and prediction of budburst in Picea sitchensis.
    """
    need: FloatArray = least + more_without_chill * np.exp(-softening * np.asarray(chill, np.float64))
    return need
