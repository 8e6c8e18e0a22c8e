"""A site's temperatures from wherever its settings say."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from season_engine.errors import WeatherError
from season_engine.site import Site
from season_engine.weather.cache import forget, read_logger_cached
from season_engine.weather.checks import check_and_fill
from season_engine.weather.climates import climate_for
from season_engine.weather.demo import demo_series
from season_engine.weather.reference import reference_name, reference_series
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.station_weather import StationReadings, read_station
from season_engine.workspace.settings import DemoWeather, LoggerWeather, StationWeather, WeatherSettings


def site_weather(
    site: Site,
    settings: WeatherSettings,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: str,
    now: dt.datetime | None = None,
    refresh: bool = False,
) -> Weather:
    """Temperatures of a site up to and including `on`, checked and whole.

    Parameters
    ----------
    folder : the workspace, where a logger's file is looked for.
    cache : folder for what was read before.
    units : "degC" or "degF", for a logger without units of its own.
    now : the moment, with its time zone: which downloads are due; without one, noon of `on`.
    refresh : read the source again, whatever is kept of it.
    """
    if refresh:
        forget(cache, site.name)
        forget(cache, reference_name(site))
    if isinstance(settings, StationWeather):
        now = now or dt.datetime.combine(on, dt.time(12), dt.UTC)
        readings = read_station(site, settings.station, cache=cache, on=on, now=now, refresh=refresh)
        return _station_weather(site, settings, readings, on)
    raw, source = _raw(site, settings, folder, cache, on, units)
    raw = _until(raw, on, site, source)
    if isinstance(settings, DemoWeather):
        return check_and_fill(raw, source=source, invented=True)
    reference, notes = reference_series(site, settings, raw, folder=folder, cache=cache, on=on, units=units)
    weather = check_and_fill(raw, source=source, neighbour=reference, keep=settings.keep, drop=settings.drop)
    return replace(weather, notes=notes)


def _station_weather(site: Site, settings: StationWeather, readings: StationReadings, on: dt.date) -> Weather:
    facts = readings.facts
    source = f"weather station {facts.name} ({facts.id})"
    raw = _until(readings.series, on, site, source)
    weather = check_and_fill(raw, source=source, keep=settings.keep, drop=settings.drop)
    return replace(weather, station=facts, warnings=(*readings.warnings, *weather.warnings))


def _until(raw: DailySeries, on: dt.date, site: Site, source: str) -> DailySeries:
    """Readings up to `on`; raises WeatherError where there are none."""
    raw = raw.cut(on)
    if not len(raw):
        raise WeatherError(f"{site.name}: the {source} has nothing up to {on.isoformat()}.")
    return raw


def _raw(
    site: Site, settings: LoggerWeather | DemoWeather, folder: Path, cache: Path, on: dt.date, units: str
) -> tuple[DailySeries, str]:
    """Temperatures as they come, and the source as it is printed."""
    if isinstance(settings, DemoWeather):
        return demo_series(climate_for(site, settings.climate), on), "invented weather (demo)"
    series = read_logger_cached(
        folder / settings.file,
        cache=cache,
        site=site.name,
        units=settings.units or units,
        date_format=settings.date_format,
        longitude_deg=site.longitude,
    )
    return series, f"logger file {settings.file}"
