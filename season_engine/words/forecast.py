"""Forecast days in words: whose they are and how old, or why there are none."""

from __future__ import annotations

import datetime as dt

from season_engine.weather.forecast.days import ForecastDays
from season_engine.words import prose, timing
from season_engine.words.speech import say
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import forecast_source


def forecast_sentence(forecast: ForecastDays, as_of: dt.date) -> str:
    """One sentence: which forecast is used, or that none is, and why."""
    if forecast.status == "off":
        return say("No forecast is asked for.")
    if forecast.source is None or forecast.issued is None or forecast.status != "used":
        return prose.sentence(notice_text(forecast.trouble) if forecast.trouble else "")
    ahead = sum(day.date > as_of for day in forecast.days)
    moment = forecast.issued
    time = f" {moment:%H:%M}" if moment.time() != dt.time(0) else ""
    told = prose.counts(
        "Forecast: {n} day from {source}, issued {date}{time}",
        "Forecast: {n} days from {source}, issued {date}{time}",
        ahead,
        source=forecast_source(forecast.source),
        date=timing.day(moment.date(), as_of),
        time=time,
    )
    return prose.sentence(told)


def forecast_handling(forecast: ForecastDays) -> str:
    """How the days are used; empty where none are."""
    if forecast.status != "used":
        return ""
    return (
        "Each day ahead is laid into the past years' weather by how sure a forecast of so many days is; it "
        "counts towards dates and hazards to come, never as a reading."
    )
