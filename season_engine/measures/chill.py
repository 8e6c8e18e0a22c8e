"""Cold that breaks winter rest, by the hour: chilling hours, chill units and chill portions.

Rival units that can't be converted into one another: chilling hours per chill portion ran from 0 to 34 over
5,078 stations (Luedeling & Brown 2011, read as an abstract). `chill_models` lists them all.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

UTAH_EDGES_C = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
UTAH_UNITS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])
POSITIVE_UTAH_UNITS = np.maximum(UTAH_UNITS, 0.0)
NORTH_CAROLINA_EDGES_C = np.array([-1.1, 1.6, 7.2, 13.0, 16.5, 19.0, 20.7, 22.1, 23.3])
NORTH_CAROLINA_UNITS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0, -1.5, -2.0, -2.0])
LOW_CHILL_EDGES_C = np.array([1.0, 1.8, 7.9, 13.9, 16.9, 19.4, 21.5])
LOW_CHILL_UNITS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0, -1.0])
# Classes hold their upper edge, chilling hours their lower one too: the edge lies a hair below nought.
CHILLING_HOURS_EDGES_C = np.array([np.nextafter(0.0, -1.0), 7.2])
CHILLING_HOURS_UNITS = np.array([0.0, 1.0, 0.0])

# The share of a full store that is fixed rises with warmth through a half at 277 K.
KELVIN_OFFSET = 273.15
SHARE_SLOPE, SHARE_MIDDLE_K = 1.6, 277.0


def chilling_hours(hourly_c: ArrayLike) -> FloatArray:
    """1 for each hour from 0 to 7.2 degC, both included; else 0, and NaN where the hour is.

    References
    ----------
    Weinberger, J. H. (1950), Chilling requirements of peach varieties, Proceedings of the American Society
    for Horticultural Science 56, 122-128 (read in secondary copies).
    """
    return in_classes(hourly_c, CHILLING_HOURS_EDGES_C, CHILLING_HOURS_UNITS)


def utah_units(hourly_c: ArrayLike) -> FloatArray:
    """Chill units of each hour, from -1 (above 18 degC undoes chill) to 1; NaN where the hour is.

    Each class holds its upper edge: 1.4 degC still gives 0, 2.4 gives 0.5.

    References
    ----------
    Richardson, E. A., Seeley, S. D. & Walker, D. R. (1974), A model for estimating the completion of rest for
    'Redhaven' and 'Elberta' peach trees, HortScience 9, 331-332 (read in secondary copies).
    """
    return in_classes(hourly_c, UTAH_EDGES_C, UTAH_UNITS)


def positive_utah_units(hourly_c: ArrayLike) -> FloatArray:
    """Utah units with each negative hour counted as nothing, for places with warm winter days; 0 to 1.

    Hours, not days: taking away the negative days only, as some software does, is another measure.

    References
    ----------
    Linsley-Noakes, G. C. & Allan, P. (1994), Comparison of two models for the prediction of rest completion
    in peaches, Scientia Horticulturae 59, 107-113 (read in a secondary copy, the R package dormancyR).
    """
    return in_classes(hourly_c, UTAH_EDGES_C, POSITIVE_UTAH_UNITS)


def north_carolina_units(hourly_c: ArrayLike) -> FloatArray:
    """Chill units of each hour, from -2 (above 22.1 degC) to 1 (1.6 to 7.2 degC); NaN where the hour is.

    References
    ----------
    Shaltout, A. D. & Unrath, C. R. (1983), Rest completion prediction model for 'Starkrimson Delicious'
    apples, Journal of the American Society for Horticultural Science 108, 957-961 (read in a secondary copy,
    the R package dormancyR; versions of it before the class from -1.1 to 1.6 degC was added lie one class
    warmer).
    """
    return in_classes(hourly_c, NORTH_CAROLINA_EDGES_C, NORTH_CAROLINA_UNITS)


def low_chill_units(hourly_c: ArrayLike) -> FloatArray:
    """Chill units of each hour for low-chill nectarines, from -1 to 1; NaN where the hour is.

    References
    ----------
    Gilreath, P. R. & Buchanan, D. W. (1981), Rest prediction model for low-chilling 'Sungold' nectarine,
    Journal of the American Society for Horticultural Science 106, 426-429 (read in a secondary copy, the R
    package dormancyR; older versions of it lie one class warmer).
    """
    return in_classes(hourly_c, LOW_CHILL_EDGES_C, LOW_CHILL_UNITS)


def smooth_utah_units(hourly_c: ArrayLike) -> FloatArray:
    """Utah units without steps: ``sin(2 pi T / 28)`` from 0 to 21 degC, 0 below and -1 above.

    Best at 7 degC, nothing at 14, -1 from 21 on.

    References
    ----------
    Linvill, D. E. (1990), Calculating chilling hours and chill units from daily maximum and minimum
    temperature observations, HortScience 25, 14-16 (read in a secondary copy, the R package dormancyR).
    """
    return np.sin(np.clip(np.asarray(hourly_c, np.float64), 0.0, 21.0) * (2.0 * np.pi / 28.0))


def in_classes(hourly_c: ArrayLike, edges_c: FloatArray, units: FloatArray) -> FloatArray:
    """Units of each hour's temperature class; a class holds its upper edge, and NaN stays NaN."""
    hourly = np.asarray(hourly_c, np.float64)
    return np.where(np.isnan(hourly), np.nan, units[np.searchsorted(edges_c, hourly)])


def chill_portions(hourly_c: ArrayLike, kelvin_offset: float = KELVIN_OFFSET) -> FloatArray:
    """Chill portions of the Dynamic Model won in each hour, from an empty store at the first hour.

    Cold builds an intermediate product that warmth destroys. Once it reaches 1, a temperature-dependent
    share of it becomes chill portions that nothing undoes.

    Parameters
    ----------
    hourly_c : degC, shape (..., hours), consecutive hours.
    kelvin_offset : 273.15; some software and older tables use 273, which gives a little more: 0.4 per cent on
        a slow warming from 0 to 15 degC.

    Returns
    -------
    Portions of each hour, shape (..., hours). The first hour gives 0. At a missing hour the store is held
    as it is and the result is NaN.

    References
    ----------
    Fishman, S., Erez, A. & Couvillon, G. A. (1987), The temperature dependence of dormancy breaking in
    plants, Journal of Theoretical Biology 124, 473-483; constants of Erez & Fishman (1990) as given by
    Luedeling et al. (2009) (read in secondary copies).
    """
    return continued_chill_portions(hourly_c, None, kelvin_offset)[0]


def continued_chill_portions(
    hourly_c: ArrayLike, store: FloatArray | None, kelvin_offset: float = KELVIN_OFFSET
) -> tuple[FloatArray, FloatArray]:
    """Chill portions of a stretch of hours that goes on where another one ended.

    Parameters
    ----------
    hourly_c : degC, shape (..., hours).
    store : intermediate product left by the hours before, shape (...); None where there are none.

    Returns
    -------
    Portions of each hour, shape (..., hours), and the store they leave.
    """
    hourly = np.asarray(hourly_c, np.float64)
    supply, decay, share = dynamic_model_rates(np.moveaxis(hourly, -1, 0), kelvin_offset)
    first = 0
    if store is None:
        store, first = np.zeros(supply.shape[1:]), 1
    product, left = _intermediate_product(supply, decay, 1.0 - share, store.copy(), first)
    product = np.moveaxis(product, 0, -1)
    portions = np.where(product >= 1.0, product * np.moveaxis(share, 0, -1), 0.0)
    return np.where(np.isnan(hourly), np.nan, portions), left


def daily_chill_portions(hourly_c: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Chill portions won on each day, from an empty store at the first hour, and the store it leaves.

    From that the next day goes on.

    Parameters
    ----------
    hourly_c : degC, shape (..., days, 24).

    Returns
    -------
    Both of shape (..., days); a day with a missing hour has NaN portions.
    """
    hours = np.asarray(hourly_c, np.float64)
    flat = np.moveaxis(hours.reshape(*hours.shape[:-2], -1), -1, 0)
    supply, decay, share = dynamic_model_rates(flat)
    product, _ = _intermediate_product(supply, decay, 1.0 - share, np.zeros(flat.shape[1:]), 1)
    full = product >= 1.0
    won = np.where(np.isnan(flat), np.nan, np.where(full, product * share, 0.0))
    left = np.where(full, product * (1.0 - share), product)
    by_day = [np.moveaxis(part, 0, -1).reshape(hours.shape) for part in (won, left)]
    return by_day[0].sum(axis=-1), by_day[1][..., -1]


def dynamic_model_rates(
    hourly_c: ArrayLike, kelvin_offset: float = KELVIN_OFFSET
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Supply and decay of the product in each hour, and the share fixed once it is full.

    A missing hour supplies nothing, destroys nothing and fixes nothing.
    """
    e0, e1, a0, a1 = 4153.5, 12888.8, 139500.0, 2.567e18
    kelvin = np.asarray(hourly_c, np.float64) + kelvin_offset
    missing = np.isnan(kelvin)
    level = a0 / a1 * np.exp((e1 - e0) / kelvin)
    rate = a1 * np.exp(-e1 / kelvin)
    decay = np.where(missing, 1.0, np.exp(-rate))
    supply = np.where(missing, 0.0, level * -np.expm1(-rate))
    share = 1.0 / (1.0 + np.exp(-SHARE_SLOPE * SHARE_MIDDLE_K * (kelvin - SHARE_MIDDLE_K) / kelvin))
    return supply, decay, np.where(missing, 0.0, share)


def _intermediate_product(
    supply: FloatArray, decay: FloatArray, kept: FloatArray, store: FloatArray, first: int
) -> tuple[FloatArray, FloatArray]:
    """Run the product through the hours, time on the first axis, and say what is left in `store` after."""
    if store.size == 1:
        return _one_intermediate_product(supply, decay, kept, store, first)
    product = np.zeros_like(supply)
    full = np.zeros(store.shape, dtype=bool)
    for hour in range(first, len(supply)):
        np.multiply(store, decay[hour], out=store)
        np.add(store, supply[hour], out=store)
        product[hour] = store
        np.greater_equal(store, 1.0, out=full)
        np.multiply(store, kept[hour], out=store, where=full)
    return product, store


def _one_intermediate_product(
    supply: FloatArray, decay: FloatArray, kept: FloatArray, store: FloatArray, first: int
) -> tuple[FloatArray, FloatArray]:
    """The same for a single series, to the last bit: plain floats are faster than arrays of one."""
    left = store.item()
    product = [0.0] * first
    rates = (rate[first:].ravel().tolist() for rate in (supply, decay, kept))
    for supplied, decayed, stays in zip(*rates, strict=True):
        left = left * decayed + supplied
        product.append(left)
        if left >= 1.0:
            left *= stays
    return np.array(product[: len(supply)]).reshape(supply.shape), np.full_like(store, left)
