"""Measures of a run of days side by side: those every table has, and those that may be asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.measures.chill import chill_portions, chilling_hours, utah_units
from season_engine.measures.chill_models import ChillModel
from season_engine.measures.coverage import Missing, daily
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import growing_degree_days, growing_degree_hours
from season_engine.measures.heat_models import HeatModel
from season_engine.measures.hourly import hourly_temperatures_c


@dataclass(frozen=True)
class MeasureTable:
    """Increments of each day, shape (..., days); day length is shared by all leading axes."""

    day_length_h: NDArray[np.float64]
    chilling_hours: NDArray[np.float64]
    utah_units: NDArray[np.float64]
    chill_portions: NDArray[np.float64]
    gdd_c: NDArray[np.float64]
    gdh_c: NDArray[np.float64]
    observed_share: NDArray[np.float64]  # of the day's 24 hours, those that rest on observed readings alone


def daily_measures(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    *,
    observed: ArrayLike,
    latitude_deg: float,
    day_of_year: ArrayLike,
    chill_restart: ArrayLike,
    base_c: float = 5.0,
    upper_c: float | None = None,
    missing: Missing = "refuse",
) -> MeasureTable:
    """Every measure of each day.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (..., days), consecutive days, gaps filled. `missing` says what the sums of a
        day do about a value still missing.
    observed : shape (..., days), whether both readings of the day were observed rather than filled.
    latitude_deg : degrees, north positive.
    day_of_year : 1 to 366, shape (days,).
    chill_restart : shape (days,), the days at which chill portions start again from an empty store; the
        first day always does.
    base_c, upper_c : base and cap of the growing degree days [degC].
    missing : see `coverage.Missing`.
    """
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    seen = np.asarray(observed, bool)
    length = day_length_h(latitude_deg, day_of_year)
    hourly = hourly_temperatures_c(tmin, tmax, length)
    hourly_seen = hourly_temperatures_c(np.where(seen, tmin, np.nan), np.where(seen, tmax, np.nan), length)
    return MeasureTable(
        day_length_h=length,
        chilling_hours=daily(chilling_hours(hourly), missing).value,
        utah_units=daily(utah_units(hourly), missing).value,
        chill_portions=daily(restarted(chill_portions, hourly, chill_restart), missing).value,
        gdd_c=growing_degree_days(tmin, tmax, base_c, upper_c),
        gdh_c=daily(growing_degree_hours(hourly), missing).value,
        observed_share=daily(hourly_seen).coverage,
    )


def daily_increments(
    model: ChillModel | HeatModel,
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    *,
    latitude_deg: float,
    day_of_year: ArrayLike,
    chill_restart: ArrayLike,
    missing: Missing = "refuse",
) -> NDArray[np.float64]:
    """What one model of chill or heat counts on each day, in its unit, shape (..., days).

    The parameters are those of `daily_measures`. A model of days has no number for one that lacks a reading,
    whatever is done about missing hours.
    """
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    if model.needs == "daily extremes":
        return model.increments(tmin, tmax)
    if model.needs == "daily means":
        return model.increments((tmin + tmax) / 2.0)
    hourly = hourly_temperatures_c(tmin, tmax, day_length_h(latitude_deg, day_of_year))
    return daily(restarted(model.increments, hourly, chill_restart), missing).value


def restarted(
    increments: Callable[[NDArray[np.float64]], NDArray[np.float64]], hourly_c: ArrayLike, restart: ArrayLike
) -> NDArray[np.float64]:
    """Increments of each hour, any store emptied at the start of every day marked in `restart`.

    Parameters
    ----------
    increments : of consecutive hours, shape (..., hours), each of which may rest on those before it.
    hourly_c : degC, shape (..., days, 24).
    restart : bool, shape (days,); the first day counts as marked.

    Returns
    -------
    Increments, shape (..., days, 24).
    """
    hourly = np.asarray(hourly_c, np.float64)
    season = np.cumsum(np.asarray(restart, bool))
    day = np.arange(season.size) - np.searchsorted(season, season)
    # Seasons lie side by side, padded to the longest, so that the loop over hours serves them all at once.
    apart = np.full((*hourly.shape[:-2], season.max(initial=-1) + 1, day.max(initial=-1) + 1, 24), np.nan)
    apart[..., season, day, :] = hourly
    hours = apart.reshape(*apart.shape[:-2], apart.shape[-2] * 24)
    found: NDArray[np.float64] = increments(hours).reshape(apart.shape)[..., season, day, :]
    return found
