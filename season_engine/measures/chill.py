"""Cold that breaks winter rest, in three rival units that can't be converted into one another."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

UTAH_EDGES_C = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
UTAH_UNITS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])


def chilling_hours(hourly_c: ArrayLike) -> NDArray[np.float64]:
    """1 for each hour from 0 to 7.2 degC, both included; else 0, and NaN where the hour is.

    References
    ----------
    Weinberger, J. H. (1950), Chilling requirements of peach varieties, Proceedings of the American Society
    for Horticultural Science 56, 122-128 (read in secondary copies).
    """
    hourly = np.asarray(hourly_c, np.float64)
    return np.where(np.isnan(hourly), np.nan, (hourly >= 0.0) & (hourly <= 7.2))


def utah_units(hourly_c: ArrayLike) -> NDArray[np.float64]:
    """Chill units of each hour, from -1 (above 18 degC undoes chill) to 1; NaN where the hour is.

    Each class holds its upper edge: 1.4 degC still gives 0, 2.4 gives 0.5.

    References
    ----------
    Richardson, E. A., Seeley, S. D. & Walker, D. R. (1974), A model for estimating the completion of rest for
    'Redhaven' and 'Elberta' peach trees, HortScience 9, 331-332 (read in secondary copies).
    """
    hourly = np.asarray(hourly_c, np.float64)
    return np.where(np.isnan(hourly), np.nan, UTAH_UNITS[np.searchsorted(UTAH_EDGES_C, hourly)])


def chill_portions(hourly_c: ArrayLike, kelvin_offset: float = 273.15) -> NDArray[np.float64]:
    """Chill portions of the Dynamic Model won in each hour, from an empty store at the first hour.

    Cold builds an intermediate product that warmth destroys. Once it reaches 1, a temperature-dependent
    share of it becomes chill portions that nothing undoes.

    Parameters
    ----------
    hourly_c : degC, shape (..., hours), consecutive hours.
    kelvin_offset : 273.15; some software uses 273, which gives a little more: 0.4 per cent on a slow
        warming from 0 to 15 degC.

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
    hourly = np.asarray(hourly_c, np.float64)
    supply, decay, share = _dynamic_model_rates(np.moveaxis(hourly, -1, 0) + kelvin_offset)
    product = np.moveaxis(_intermediate_product(supply, decay, 1.0 - share), 0, -1)
    portions = np.where(product >= 1.0, product * np.moveaxis(share, 0, -1), 0.0)
    return np.where(np.isnan(hourly), np.nan, portions)


def _dynamic_model_rates(
    kelvin: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Supply and decay of the product in each hour, and the share fixed once it is full; held where NaN."""
    e0, e1, a0, a1 = 4153.5, 12888.8, 139500.0, 2.567e18
    slope, melting_point = 1.6, 277.0
    missing = np.isnan(kelvin)
    level = a0 / a1 * np.exp((e1 - e0) / kelvin)
    rate = a1 * np.exp(-e1 / kelvin)
    decay = np.where(missing, 1.0, np.exp(-rate))
    supply = np.where(missing, 0.0, level * -np.expm1(-rate))
    share = 1.0 / (1.0 + np.exp(-slope * melting_point * (kelvin - melting_point) / kelvin))
    return supply, decay, np.where(missing, 0.0, share)


def _intermediate_product(
    supply: NDArray[np.float64], decay: NDArray[np.float64], kept: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Run the product through the hours, time on the first axis; the first hour's is 0."""
    product = np.zeros_like(supply)
    store = np.zeros(supply.shape[1:])
    full = np.zeros(supply.shape[1:], dtype=bool)
    for hour in range(1, len(supply)):
        np.greater_equal(store, 1.0, out=full)
        np.multiply(store, kept[hour - 1], out=store, where=full)
        np.multiply(store, decay[hour], out=store)
        np.add(store, supply[hour], out=store)
        product[hour] = store
    return product
