"""The nights and days ahead at the pots: as forecast where that is known, else as past years had them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from season_engine.phenology.date_odds import DateOdds
from season_engine.traces import SeasonView
from season_engine.traces.forecast import forecast_error_c

MOST_DAYS = 10
ODDS = (0.1, 0.5, 0.9)
P90_SDS = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True, slots=True)
class Spread:
    """Temperatures that 10, 50 and 90 in 100 chances stay at or below [degC]."""

    p10_c: float
    p50_c: float
    p90_c: float


@dataclass(frozen=True, slots=True)
class DayAhead:
    """The lowest of a night, at the pots, and the highest of the day."""

    date: dt.date
    low: Spread
    high: Spread
    forecast: bool  # else what the traces have


def days_ahead(view: SeasonView) -> tuple[DayAhead, ...]:
    """The days after the view's, as many as the forecast holds, or `MOST_DAYS` where there is none.

    A forecast day is spread by the error of forecasts of its lead; nights are as cold as at the pots.
    """
    forecast = {day.date: day for day in view.weather.forecast.days if day.date > view.on}
    last = max(forecast, default=view.on + dt.timedelta(days=MOST_DAYS))
    cold_c = view.site.bench_frost_allowance_c
    found = []
    for number in range(1, (last - view.on).days + 1):
        date = view.on + dt.timedelta(days=number)
        if date in forecast:
            day = forecast[date]
            half_c = P90_SDS * float(forecast_error_c(np.array(day.lead_days, np.float64)))
            low, high = _about(day.tmin_c - cold_c, half_c), _about(day.tmax_c, half_c)
        else:
            low, high = _of_traces(view, date)
        found.append(DayAhead(date, low, high, date in forecast))
    return tuple(found)


def _about(middle_c: float, half_c: float) -> Spread:
    return Spread(*(round(value, 2) for value in (middle_c - half_c, middle_c, middle_c + half_c)))


def _of_traces(view: SeasonView, date: dt.date) -> tuple[Spread, Spread]:
    traces = view.season()
    column = traces.column(date)
    lows = traces.tmin_c[:, column] - view.site.bench_frost_allowance_c
    spreads = (DateOdds(values, traces.weights).by(ODDS) for values in (lows, traces.tmax_c[:, column]))
    low, high = (Spread(*np.round(spread, 2).tolist()) for spread in spreads)
    return low, high
