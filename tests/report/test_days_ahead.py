"""The days ahead as facts: a forecast with its error, past years' days where there is none."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.report.days_ahead import MOST_DAYS, days_ahead
from season_engine.site import Site
from season_engine.traces import SeasonView
from season_engine.weather.checks import check_and_fill
from season_engine.weather.forecast.days import ForecastDay, ForecastDays
from season_engine.weather.sources.origins import GivenOrigin
from tests.yards import NAGANO, readings, view, view_on

ON = dt.date(2019, 4, 2)


def with_forecast(on: dt.date, leads: list[int], site: Site = NAGANO) -> SeasonView:
    weather = check_and_fill(readings(NAGANO).cut(on), source=GivenOrigin("test"))
    days = tuple(ForecastDay(on + dt.timedelta(days=n), -1.0, 9.0, n) for n in leads)
    return SeasonView(site, replace(weather, forecast=ForecastDays("used", days=days)), on)


def test_a_forecast_day_lies_near_what_is_forecast_and_spreads_more_the_further_off():
    days = days_ahead(with_forecast(ON, [1, 2, 3, 4, 5, 6, 7]))
    first, last = days[0], days[-1]
    usual = days_ahead(view(NAGANO, ON))[0]
    assert (first.date, first.forecast) == (ON + dt.timedelta(days=1), True)
    assert abs(first.low.p50_c + 1.0) < abs(usual.low.p50_c + 1.0) / 2
    assert first.low.p90_c - first.low.p10_c < last.low.p90_c - last.low.p10_c
    assert first.low.p90_c - first.low.p10_c < usual.low.p90_c - usual.low.p10_c


def test_they_are_what_the_odds_of_frost_are_counted_on():
    seen = with_forecast(ON, [1, 2, 3])
    traces = seen.season()
    for day in days_ahead(seen):
        lows = traces.tmin_c[:, traces.column(day.date)]
        assert traces.weights[lows <= day.low.p50_c + 0.01].sum() >= 0.5 - 1e-9
        assert traces.weights[lows <= day.low.p50_c - 0.01].sum() <= 0.5 + 1e-9


def test_a_day_that_the_forecast_lacks_is_as_past_years_had_it():
    days = days_ahead(with_forecast(ON, [1, 2, 4]))
    assert [day.forecast for day in days] == [True, True, False, True]


def test_without_a_forecast_ten_days_lie_between_what_past_years_had():
    seen = view(NAGANO, ON)
    days = days_ahead(seen)
    assert len(days) == MOST_DAYS and not any(day.forecast for day in days)
    traces = seen.season()
    for day in days:
        lows = traces.tmin_c[:, traces.column(day.date)]
        assert lows.min() - 0.01 <= day.low.p10_c <= day.low.p50_c <= day.low.p90_c <= lows.max() + 0.01
        below = traces.weights[lows <= day.low.p50_c + 0.01].sum()
        assert below >= 0.5 - 1e-9
        assert day.low.p50_c < day.high.p50_c


def test_nights_are_as_cold_as_at_the_pots_and_days_as_warm_as_at_the_sensor():
    colder = replace(NAGANO, bench_frost_allowance_c=2.0)
    for leads in ([1, 2], []):
        here, there = (days_ahead(with_forecast(ON, leads, site))[0] for site in (NAGANO, colder))
        assert here.low.p50_c - there.low.p50_c == pytest.approx(2.0)
        assert here.high == there.high


def test_nothing_later_than_the_day_has_a_part_in_it():
    cut = view_on(NAGANO, readings(NAGANO).cut(ON), ON)
    assert days_ahead(cut) == days_ahead(view(NAGANO, ON))
    assert np.isfinite([day.low.p10_c for day in days_ahead(view(NAGANO, dt.date(2024, 2, 25)))]).all(), (
        "the leap day is told as the day before it"
    )
