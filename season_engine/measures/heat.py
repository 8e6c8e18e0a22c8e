"""Warmth that drives growth."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray


def growing_degree_days(
    tmin_c: ArrayLike, tmax_c: ArrayLike, base_c: float = 5.0, upper_c: float | None = None
) -> NDArray[np.float64]:
    """Degrees by which each day's mean lies above the base, a mean above `upper_c` counting as `upper_c`.

    Parameters
    ----------
    tmin_c, tmax_c : degC, any shapes that broadcast.
    base_c : 5 degC, as Murray et al. (1989) used for fifteen temperate trees (read as an abstract).
    upper_c : no cap if None.

    Returns
    -------
    Degree days [degC d] of each day; NaN where a reading is.

    References
    ----------
    Method 1 of McMaster, G. S. & Wilhelm, W. W. (1997), Growing degree-days: one equation, two
    interpretations, Agricultural and Forest Meteorology 87, 291-300.
    """
    mean = (np.asarray(tmin_c, np.float64) + np.asarray(tmax_c, np.float64)) / 2.0
    capped = mean if upper_c is None else np.minimum(mean, upper_c)
    return np.maximum(capped - base_c, 0.0)


def growing_degree_hours(
    hourly_c: ArrayLike, base_c: float = 4.0, optimum_c: float = 25.0, critical_c: float = 36.0
) -> NDArray[np.float64]:
    """Warmth of each hour: a cosine from 0 at the base up to the optimum, and down to 0 at the critical.

    Parameters
    ----------
    hourly_c : degC, any shape.
    base_c, optimum_c, critical_c : 4, 25 and 36 degC, set by the authors for fruit trees (stress factor 1).

    Returns
    -------
    Growing degree hours [degC h] of each hour, at most ``optimum_c - base_c``; NaN where the hour is.

    References
    ----------
    Anderson, J. L., Richardson, E. A. & Kesner, C. D. (1986), Validation of chill unit and flower bud
    phenology models for 'Montmorency' sour cherry, Acta Horticulturae 184, 71-78 (read in secondary copies).
    """
    hourly = np.asarray(hourly_c, np.float64)
    rise = (np.clip(hourly, base_c, optimum_c) - base_c) / (optimum_c - base_c)
    fall = (np.clip(hourly, optimum_c, critical_c) - optimum_c) / (critical_c - optimum_c)
    hot = hourly > optimum_c
    height = (optimum_c - base_c) * np.where(hot, 1.0, 0.5)
    return height * (1.0 + np.cos(np.pi * np.where(hot, (1.0 + fall) / 2.0, 1.0 + rise)))
