"""A site's temperatures from wherever its settings say."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.cache import forget, read_logger_cached
from season_engine.weather.checks import check_and_fill
from season_engine.weather.climates import climate_for
from season_engine.weather.demo import demo_series
from season_engine.weather.series import DailySeries, Weather
from season_engine.workspace.settings import DemoWeather, LoggerWeather, WeatherSettings


def site_weather(
    site: Site,
    settings: WeatherSettings,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: str,
    refresh: bool = False,
) -> Weather:
    """Temperatures of a site up to and including `on`, checked and whole.

    Parameters
    ----------
    folder : the workspace, where a logger's file is looked for.
    cache : folder for what was read before.
    units : "degC" or "degF", for a logger without units of its own.
    refresh : read the source again, whatever is kept of it.
    """
    if refresh:
        forget(cache, site.name)
    raw, source = _raw(site, settings, folder, cache, on, units)
    raw = raw.cut(on)
    if not len(raw):
        raise WeatherError(f"{site.name}: the {source} has nothing up to {on.isoformat()}.")
    return check_and_fill(raw, source=source, invented=isinstance(settings, DemoWeather))


def _raw(
    site: Site, settings: WeatherSettings, folder: Path, cache: Path, on: dt.date, units: str
) -> tuple[DailySeries, str]:
    """Temperatures as they come, and the source as it is printed."""
    if isinstance(settings, DemoWeather):
        return demo_series(climate_for(site, settings.climate), on), "invented weather (demo)"
    if isinstance(settings, LoggerWeather):
        series = read_logger_cached(
            folder / settings.file,
            cache=cache,
            site=site.name,
            units=settings.units or units,
            date_format=settings.date_format,
        )
        return series, f"logger file {settings.file}"
    raise GrowerError(
        f"{site.name}: this version can't fetch from weather stations yet.",
        hint='Use source = "logger" with a file of your own readings.',
        field="site.weather.source",
    )
