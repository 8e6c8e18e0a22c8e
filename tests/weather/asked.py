"""Weather asked for as season.toml would have it, and what is told of it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from season_engine.facts import Units
from season_engine.site import Site
from season_engine.weather.forecast.days import ForecastDays
from season_engine.weather.series import Weather
from season_engine.weather.sources.source import Retrieval
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import source_text
from season_engine.workspace.settings import ForecastSettings, WeatherSettings
from season_engine.workspace.sources import forecast_source, weather_source


def site_weather(
    site: Site,
    settings: WeatherSettings,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: Units = "degC",
    now: dt.datetime | None = None,
    refresh: bool = False,
) -> Weather:
    """A site's temperatures from the source that settings make."""
    return weather_source(settings, folder, units).read(site, Retrieval(cache, on, now, refresh))


def forecast_days(
    site: Site,
    settings: ForecastSettings,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: Units = "degC",
    now: dt.datetime | None = None,
    refresh: bool = False,
) -> ForecastDays:
    """The same for the days ahead."""
    source = forecast_source(settings, folder, units)
    assert source is not None
    return source.read(site, Retrieval(cache, on, now, refresh))


def fault_texts(weather: Weather, kind: str = "") -> list[str]:
    """What was wrong, of one kind or of all."""
    return [fault_text(fault) for fault in weather.faults if kind in ("", fault.kind)]


def warnings(weather: object) -> tuple[str, ...]:
    """What there is to mind of a site's weather or of a station's readings."""
    return tuple(notice_text(one) for one in weather.warnings)


def notes(weather: Weather) -> tuple[str, ...]:
    """What there is to know."""
    return tuple(notice_text(one) for one in weather.notes)


def sources(weather: Weather) -> tuple[str, ...]:
    """Whom to name."""
    return tuple(source_text(one) for one in weather.sources)
