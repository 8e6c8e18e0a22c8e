"""The nights and days ahead at the pots: by the forecast where there is one, else as past years had them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from season_engine.phenology.date_odds import DateOdds
from season_engine.traces import SeasonView

MOST_DAYS = 10
ODDS = (0.1, 0.5, 0.9)


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

    They are the traces' own, in which forecast days have their share; nights are as cold as at the pots.
    """
    forecast = {day.date for day in view.weather.forecast.days if day.date > view.on}
    last = max(forecast, default=view.on + dt.timedelta(days=MOST_DAYS))
    dates = (view.on + dt.timedelta(days=number) for number in range(1, (last - view.on).days + 1))
    return tuple(DayAhead(date, *_spreads(view, date), date in forecast) for date in dates)


def _spreads(view: SeasonView, date: dt.date) -> tuple[Spread, Spread]:
    traces = view.season()
    column = traces.column(date)
    lows = traces.tmin_c[:, column] - view.site.bench_frost_allowance_c
    spreads = (DateOdds(values, traces.weights).by(ODDS) for values in (lows, traces.tmax_c[:, column]))
    low, high = (Spread(*np.round(spread, 2).tolist()) for spread in spreads)
    return low, high
