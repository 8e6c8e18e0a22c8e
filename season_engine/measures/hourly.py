"""Twenty-four hourly temperatures from a day's lowest and highest."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

_HOURS = np.arange(24.0)


def hourly_temperatures_c(
    tmin_c: ArrayLike, tmax_c: ArrayLike, day_length_h: ArrayLike
) -> NDArray[np.float64]:
    """Temperature at hours 0 to 23 of each calendar day, local solar time with noon at 12.

    From sunrise to sunset a sine, ``Tmin + (Tmax - Tmin) sin(pi (h - sunrise) / (DL + 4))``; from sunset,
    at Ts, a logarithmic fall, ``Ts - (Ts - Tmin_next) ln(h - sunset + 1) / ln(25 - DL)``. Hours before dawn
    belong to the night that the day before began, with its Ts, sunset and DL. The first day stands in for
    the one before it, and the last day's Tmin for the next.

    A day without sunrise or sunset has no curve to follow and stays at (Tmin + Tmax) / 2. After a night of
    less than an hour the fall stops at the minimum it leads to.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (..., days), consecutive days.
    day_length_h : hours, shape (days,) or one that broadcasts with the temperatures.

    Returns
    -------
    degC, shape (..., days, 24). An hour is NaN if a reading that it rests on is.

    References
    ----------
    Linvill, D. E. (1990), Calculating chilling hours and chill units from daily maximum and minimum
    temperature observations, HortScience 25, 14-16. The logarithm here, with one hour added on both sides of
    the fraction, is the form of later software (read in secondary copies).
    """
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    length = np.asarray(day_length_h, np.float64)
    length = np.broadcast_to(length, np.broadcast_shapes(length.shape, tmin.shape[-1:]))
    curveless = (length <= 0.0) | (length >= 24.0)
    middle = (tmin + tmax) / 2.0
    at_sunset = tmin + (tmax - tmin) * np.sin(np.pi * length / (length + 4.0))
    at_sunset = np.where(curveless, middle, at_sunset)

    since_sunrise = _HOURS - (12.0 - length / 2.0)[..., None]
    since_sunset = _HOURS - (12.0 + length / 2.0)[..., None]
    yesterday = _before(length)
    since_last_sunset = _HOURS + (12.0 - yesterday / 2.0)[..., None]

    night = [since_sunrise < 0.0, since_sunset > 0.0]
    start = np.select(night, [_before(at_sunset)[..., None], at_sunset[..., None]], tmin[..., None])
    end = np.select(night, [tmin[..., None], _after(tmin)[..., None]], tmax[..., None])
    fallen = [_fallen(since_last_sunset, yesterday), _fallen(since_sunset, length)]
    risen = np.sin(np.pi * since_sunrise / (length + 4.0)[..., None])
    curve: NDArray[np.float64] = start + (end - start) * np.select(night, fallen, risen)
    return np.where(curveless[..., None], middle[..., None], curve)


def _fallen(since_sunset_h: NDArray[np.float64], day_length_h: NDArray[np.float64]) -> NDArray[np.float64]:
    """Share of the night's fall behind each hour, shape (..., days, 24)."""
    night_h = (24.0 - day_length_h)[..., None]
    elapsed = np.log1p(np.maximum(since_sunset_h, 0.0))
    whole = np.log1p(np.maximum(night_h, 1e-12))  # finite where there is no night
    return np.where(night_h < 1.0, np.minimum(elapsed / whole, 1.0), elapsed / whole)


def _before(daily: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.concatenate([daily[..., :1], daily[..., :-1]], axis=-1)


def _after(daily: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.concatenate([daily[..., 1:], daily[..., -1:]], axis=-1)
