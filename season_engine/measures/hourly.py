"""Twenty-four hourly temperatures from a day's lowest and highest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

HOURS = np.arange(24.0)
BEFORE_DAWN, DAYLIGHT, AFTER_DUSK, CURVELESS = range(4)


def hourly_temperatures_c(tmin_c: ArrayLike, tmax_c: ArrayLike, day_length_h: ArrayLike) -> FloatArray:
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
    part, share = curve_shape(length, _before(length))
    sunset = tmin + (tmax - tmin) * share_at_sunset(length)
    middle = (tmin + tmax) / 2.0
    start = np.stack(np.broadcast_arrays(_before(sunset), tmin, sunset, middle), axis=-1)
    rise = np.stack(np.broadcast_arrays(tmin, tmax, _after(tmin), middle), axis=-1) - start
    hourly = _of_hours(rise, part)
    hourly *= share
    hourly += _of_hours(start, part)
    return hourly


def _of_hours(of_parts: FloatArray, part: NDArray[np.int8]) -> FloatArray:
    """Each hour's value, shape (..., days, 24), of those of the day's four parts, shape (..., days, 4)."""
    *cases, days, parts = of_parts.shape
    if part.ndim > 2:  # days are of other lengths in other cases
        return np.take_along_axis(of_parts, np.broadcast_to(part, (*cases, days, HOURS.size)), axis=-1)
    places = parts * np.arange(days)[:, None] + part
    hours: FloatArray = np.take(of_parts.reshape(*cases, days * parts), places, axis=-1)
    return hours


class DayShapes(NamedTuple):
    """Days whose own number and that of the day before are alike have the same curve at one place."""

    day_of_year: NDArray[np.int64]  # shape (shapes,)
    day_before: NDArray[np.int64]  # shape (shapes,)
    of_days: list[NDArray[np.int64]]  # which of the shapes, shape (days,) for each calendar


def day_shapes(calendars: Sequence[NDArray[np.int64]]) -> DayShapes:
    """The shapes of some calendars' days, each once however often it comes; a first day follows itself."""
    pairs = np.concatenate([[days, [days[0], *days[:-1]]] for days in calendars], axis=1)
    alike, place = np.unique(pairs, axis=1, return_inverse=True)
    ends = np.cumsum([days.size for days in calendars])[:-1]
    return DayShapes(alike[0], alike[1], np.split(np.asarray(place, np.int64).reshape(-1), ends))


def curve_shape(
    day_length_h: FloatArray, day_length_before_h: FloatArray
) -> tuple[NDArray[np.int8], FloatArray]:
    """Part of the day that each hour lies in, and how far it has come from the part's start to its end.

    Both of shape (..., days, 24), and the same for every year at one latitude.
    """
    since_sunrise = HOURS - (12.0 - day_length_h / 2.0)[..., None]
    since_sunset = HOURS - (12.0 + day_length_h / 2.0)[..., None]
    since_last_sunset = HOURS + (12.0 - day_length_before_h / 2.0)[..., None]
    curveless = (day_length_h <= 0.0) | (day_length_h >= 24.0)
    dark, dusk = since_sunrise < 0.0, since_sunset > 0.0
    risen = np.sin(np.pi * since_sunrise / (day_length_h + 4.0)[..., None])
    night = np.where(
        dusk, _fallen(since_sunset, day_length_h), _fallen(since_last_sunset, day_length_before_h)
    )
    part = np.where(dark, BEFORE_DAWN, np.where(dusk, AFTER_DUSK, DAYLIGHT)).astype(np.int8)
    share = np.where(dark | dusk, night, risen)
    part[curveless], share[curveless] = CURVELESS, 0.0
    return part, share


def share_at_sunset(day_length_h: FloatArray) -> FloatArray:
    """How far the day's sine has come from Tmin to Tmax at sunset; half way on a day without one."""
    curveless = (day_length_h <= 0.0) | (day_length_h >= 24.0)
    return np.where(curveless, 0.5, np.sin(np.pi * day_length_h / (day_length_h + 4.0)))


def _fallen(since_sunset_h: FloatArray, day_length_h: FloatArray) -> FloatArray:
    """Share of the night's fall behind each hour, shape (..., days, 24)."""
    night_h = (24.0 - day_length_h)[..., None]
    elapsed = np.log1p(np.maximum(since_sunset_h, 0.0))
    whole = np.log1p(np.maximum(night_h, 1e-12))  # finite where there is no night
    return np.where(night_h < 1.0, np.minimum(elapsed / whole, 1.0), elapsed / whole)


def _before(daily: FloatArray) -> FloatArray:
    return np.concatenate([daily[..., :1], daily[..., :-1]], axis=-1)


def _after(daily: FloatArray) -> FloatArray:
    return np.concatenate([daily[..., 1:], daily[..., -1:]], axis=-1)
