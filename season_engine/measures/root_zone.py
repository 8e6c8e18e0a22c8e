"""Temperature in the middle of a pot: it follows the air with a lag that grows with the pot."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

# All from memory, for moist open potting mix in still to moving air; each may be off by half.
HEAT_CAPACITY = 2.0e6  # J per cubic metre and kelvin
CONDUCTIVITY = 0.6  # W per metre and kelvin
SURFACE_EXCHANGE = 15.0  # W per square metre and kelvin, wind and radiation together


def lagged(air_c: ArrayLike, lag: float) -> FloatArray:
    """First-order lag of a temperature, ``dTr/dt = (Ta - Tr) / lag``, beginning in step with the air.

    Solved exactly for air that holds one value through each step. Sun on the pot, which warms it, and
    freezing water, which holds it at 0 degC for hours, are both left out: the outcome errs on the cold side.
    `root_zone_extremes` has the sun, and each day's lowest and highest.

    Parameters
    ----------
    air_c : degC, shape (..., steps): daily means, or hours.
    lag : time constant, in steps.

    Returns
    -------
    degC, same shape. From a missing step on all is NaN.
    """
    air = np.asarray(air_c, np.float64)
    keep = float(np.exp(-1.0 / lag))
    root = np.empty_like(air)
    root[..., 0] = air[..., 0]
    for step in range(1, air.shape[-1]):
        root[..., step] = keep * root[..., step - 1] + (1.0 - keep) * air[..., step]
    return root


def pot_lag_h(volume_l: ArrayLike) -> FloatArray:
    """Time constant of a free-standing pot of so many litres, in hours.

    Two lags added up, for a cube of the pot's volume and side L: from the air to the wall, ``C L / (6 h)``,
    and from the wall to the middle, ``C L^2 / (3 pi^2 k)``, with heat capacity C, conductivity k and surface
    exchange h. The physics is in any textbook; the three properties are from memory, and nobody's
    pots were measured for this. One litre lags by about an hour, ten by three, a hundred by nine. A pot sunk
    in the ground, or on it, lags more; one in a draught less.
    """
    side = np.cbrt(np.asarray(volume_l, np.float64) / 1000.0)
    through_surface = HEAT_CAPACITY * side / (6.0 * SURFACE_EXCHANGE)
    through_mix = HEAT_CAPACITY * side**2 / (3.0 * np.pi**2 * CONDUCTIVITY)
    return (through_surface + through_mix) / 3600.0
