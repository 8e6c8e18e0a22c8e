"""Forecast days laid into traces: the surer the forecast, the less is left of what past years brought."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from season_engine.traces.trace_set import TraceSet
from season_engine.weather.forecast.days import ForecastDays

FloatArray = NDArray[np.float64]

# Root mean square error of a forecast of a day's extremes for one yard: from memory, and our judgement.
FIRST_DAY_ERROR_C = 1.5
ERROR_PER_DAY_C = 0.5
LEAST_SPREAD_C = 2.0  # of the traces, where there are too few to tell


def forecast_error_c(lead_days: FloatArray) -> FloatArray:
    """What a forecast so many days ahead is wrong by, as a standard deviation; grows with the lead."""
    return FIRST_DAY_ERROR_C + ERROR_PER_DAY_C * np.maximum(lead_days - 1, 0)


def with_forecast(traces: TraceSet, forecast: ForecastDays) -> TraceSet:
    """The traces with forecast days in place of a share of their own, after the days observed.

    The share follows from the two errors, that of the forecast and the spread of the traces; see `blended`.
    29 February is left out, as everywhere in a trace.
    """
    placed = {
        traces.column(day.date) - traces.observed_days: day
        for day in forecast.days
        if (day.date.month, day.date.day) != (2, 29)
    }
    inside = traces.days.size - traces.observed_days
    placed = {place: day for place, day in placed.items() if 0 <= place < inside}
    if not placed or not len(traces):
        return traces
    days = max(placed) + 1
    tmin_c, tmax_c, error_c = np.full((3, days), np.nan)
    for place, day in placed.items():
        tmin_c[place], tmax_c[place] = day.tmin_c, day.tmax_c
        error_c[place] = forecast_error_c(np.array(day.lead_days))
    ahead = slice(traces.observed_days, traces.observed_days + days)
    own = np.array([traces.tmin_c[:, ahead], traces.tmax_c[:, ahead]])
    lows, highs = blended(own, np.array([tmin_c, tmax_c]), error_c, traces.weights)
    new_tmin_c, new_tmax_c = traces.tmin_c.copy(), traces.tmax_c.copy()
    new_tmin_c[:, ahead], new_tmax_c[:, ahead] = np.minimum(lows, highs), np.maximum(lows, highs)
    return replace(
        traces, tmin_c=new_tmin_c, tmax_c=new_tmax_c, forecast_tmin_c=tmin_c, forecast_tmax_c=tmax_c
    )


def blended(own: FloatArray, forecast: FloatArray, error_c: FloatArray, weights: FloatArray) -> FloatArray:
    """Daily extremes of traces given a forecast of them, by the regression of weather on forecasts.

    Forecasts spread as the weather does, s, which the traces show. With e the root mean square of their
    error their correlation with it is r = 1 - e^2 / (2 s^2), the mean square error taken apart as in Murphy
    (1988), Skill scores based on the mean square error and their relationships to the correlation
    coefficient, Monthly Weather Review 116, title and formula from memory. The middle of the traces moves to
    r of the forecast and 1 - r of itself, and their spread shrinks to s sqrt(1 - r^2). An r below 0 is none.

    Parameters
    ----------
    own : lows and highs of the traces [degC], shape (2, traces, days).
    forecast : the same as forecast, shape (2, days); NaN where a day isn't, which stays as it is.
    error_c : standard deviation of the forecast's error, shape (days,).
    weights : of the traces, shape (traces,), sum 1.
    """
    middle = np.einsum("t,etd->ed", weights, own)[:, None, :]
    spread2 = float(np.mean(np.einsum("t,etd->ed", weights, (own - middle) ** 2)))
    spread2 = max(spread2, LEAST_SPREAD_C**2)
    share = np.maximum(1 - error_c**2 / (2 * spread2), 0)
    centre = share * forecast[:, None, :] + (1 - share) * middle
    return np.where(np.isnan(centre), own, centre + np.sqrt(1 - share**2) * (own - middle))
