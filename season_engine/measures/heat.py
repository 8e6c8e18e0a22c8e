"""Warmth that drives growth: simple degree days, degree hours, and two responses without a corner."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

BASE_C = 5.0  # of growing degree days, unless one is asked for
GAS_CONSTANT_KCAL = 1.98720425864083e-3  # kcal per mol and kelvin; exact SI value of 8.31446... J


def growing_degree_days(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    base_c: float = BASE_C,
    upper_c: float | None = None,
    limits_on: Literal["mean", "extremes"] = "mean",
) -> FloatArray:
    """Degrees by which each day's mean lies above the base, by simple average.

    Parameters
    ----------
    tmin_c, tmax_c : degC, any shapes that broadcast.
    base_c : 5 degC, as Murray et al. (1989) used for fifteen temperate trees (read as an abstract).
    upper_c : warmth above it counts as this warm; no cap if None.
    limits_on : what base and cap are held against. ``mean`` is method 1 of the paper: a day whose mean is
        below the base gives nothing. ``extremes`` is method 2: Tmin and Tmax are each brought within the
        limits before they are averaged, so that a warm afternoon counts ("modified" degree days, for maize).

    Returns
    -------
    Degree days [degC d] of each day; NaN where a reading is.

    References
    ----------
    McMaster, G. S. & Wilhelm, W. W. (1997), Growing degree-days: one equation, two interpretations,
    Agricultural and Forest Meteorology 87, 291-300.
    """
    tmin, tmax = np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64)
    if limits_on == "extremes":
        tmin, tmax = (np.clip(one, base_c, upper_c) for one in (tmin, tmax))
    mean = (tmin + tmax) / 2.0
    if upper_c is not None:
        mean = np.minimum(mean, upper_c)
    return np.maximum(mean - base_c, 0.0)


def growing_degree_hours(
    hourly_c: ArrayLike, base_c: float = 4.0, optimum_c: float = 25.0, critical_c: float = 36.0
) -> FloatArray:
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


def sigmoid_forcing(
    temperature_c: ArrayLike, steepness_per_c: float = 0.185, middle_c: float = 18.4
) -> FloatArray:
    """Rate of growth from 0 in the cold to 1 in the warm, one half at `middle_c`; no base and no cap.

    Parameters
    ----------
    temperature_c : degC, any shape: daily means, or hours (then a 24th of the sum counts in days).
    steepness_per_c, middle_c : 0.185 per degC and 18.4 degC are the values of Hänninen (1990) that many later
        models start from (from memory): fit them where there are data.

    Returns
    -------
    Forcing units per step, 0 to 1; NaN where the temperature is.

    References
    ----------
    Form as in the unified model: Chuine, I. (2000), A unified model for budburst of trees, Journal of
    Theoretical Biology 207, 337-347 (read in a secondary copy, the R package phenor).
    """
    temperature = np.asarray(temperature_c, np.float64)
    # Clipped so that the exponential can't overflow; the outcome is 0 or 1 out there anyhow.
    return 1.0 / (1.0 + np.exp(np.clip(-steepness_per_c * (temperature - middle_c), -700.0, 700.0)))


def days_at_standard_temperature(
    temperature_c: ArrayLike, activation_kcal: float = 17.0, standard_c: float = 25.0
) -> FloatArray:
    """Days at a standard temperature that a day is worth, by the Arrhenius law (DTS).

    ``exp(Ea (T - Ts) / (R T Ts))`` with temperatures in kelvin: 1 at the standard temperature, rising without
    limit beyond it, and never quite nothing in the cold.

    Parameters
    ----------
    temperature_c : degC, any shape, daily means as the authors used them.
    activation_kcal : apparent activation energy [kcal/mol]; 17 fits flowering cherry over 21 stations.
    standard_c : standard temperature [degC].

    Returns
    -------
    Days per day; NaN where the temperature is.

    References
    ----------
    "Estimation of blooming date for Prunus yedoensis by means of kinetic method" (read as an abstract: Ea and
    Ts); the method: Ono, S. & Konno, T. (1999), Japan Agricultural Research Quarterly 33, 105-108 (abstract).
    The formula itself is from memory.
    """
    kelvin = np.asarray(temperature_c, np.float64) + 273.15
    standard = standard_c + 273.15
    days: FloatArray = np.exp(activation_kcal * (kelvin - standard) / (GAS_CONSTANT_KCAL * kelvin * standard))
    return days
