"""A site's temperatures from wherever its settings say."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import partial
from pathlib import Path

from season_engine.errors import WeatherError
from season_engine.messages import Message
from season_engine.site import Site
from season_engine.weather.cache import forget, read_logger_cached
from season_engine.weather.checks import check_and_fill
from season_engine.weather.climates import climate_for
from season_engine.weather.demo import demo_series
from season_engine.weather.quality.readings import runs
from season_engine.weather.reference import reference_name, reference_of
from season_engine.weather.second_source import laid_on
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.station_weather import StationReadings, read_station, second_station
from season_engine.workspace.settings import DemoWeather, LoggerWeather, StationWeather, WeatherSettings

LONGEST_OWN_GAP_DAYS = 5  # which a station's own days around fill as well as another station would
INVENTED = Message("invented weather (demo)")
LATE_DAYS = 1  # today isn't over, so no station can have it


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
    now = now or dt.datetime.combine(on, dt.time(12), dt.UTC)
    if refresh:
        forget(cache, site.name)
        forget(cache, reference_name(site))
    if isinstance(settings, StationWeather):
        return _station_weather(site, settings, cache, on, now, refresh)
    raw, source = _raw(site, settings, folder, cache, on, units)
    raw = _until(raw, on, site, source)
    if isinstance(settings, DemoWeather):
        return check_and_fill(raw, source=source, invented=True)
    second = reference_of(
        site, settings, raw, folder=folder, cache=cache, on=on, units=units, now=now, refresh=refresh
    )
    weather = check_and_fill(
        raw, source=source, neighbour=second.series, keep=settings.keep, drop=settings.drop
    )
    warnings = (*second.warnings, *weather.warnings)
    return replace(weather, notes=second.notes, warnings=warnings, second_station=second.station)


def _station_weather(
    site: Site, settings: StationWeather, cache: Path, on: dt.date, now: dt.datetime, refresh: bool
) -> Weather:
    readings = read_station(site, settings.station, cache=cache, on=on, now=now, refresh=refresh)
    facts = readings.facts
    raw = _until(readings.series, on, site, facts.label)
    weather = check_and_fill(raw, source=facts.label, keep=settings.keep, drop=settings.drop)
    second = None
    if _leaves_much_open(weather, on):
        second = second_station(site, cache=cache, on=on, now=now, besides=facts.id, refresh=refresh)
    warnings = readings.warnings
    if second is not None:
        weather = _bridged(raw, weather, second, settings, on)
        if not (readings.failed and second.failed):  # one warning for one outage
            warnings = tuple(dict.fromkeys((*warnings, *second.warnings)))
    return replace(weather, station=facts, warnings=(*warnings, *weather.warnings))


def _leaves_much_open(weather: Weather, on: dt.date) -> bool:
    """Whether there are gaps too long for the days around them, or the latest days are missing."""
    longest = max((last - first + 1 for first, last in runs(~weather.observed)), default=0)
    return longest > LONGEST_OWN_GAP_DAYS or (on - weather.data_through).days > LATE_DAYS


def _bridged(
    raw: DailySeries, alone: Weather, second: StationReadings, settings: StationWeather, on: dt.date
) -> Weather:
    """A station's record with another's where it has gaps; as it is `alone` where that adds nothing.

    The record still starts where its own readings do.
    """
    days = (on - raw.first_day).days + 1
    neighbour = laid_on(second.series, raw.first_day, days)
    weather = check_and_fill(
        raw, source=alone.source, neighbour=neighbour, keep=settings.keep, drop=settings.drop
    )
    taken = 0 if weather.adjusted is None else int(weather.adjusted.sum())
    if not taken:
        return alone
    facts = second.facts
    note = Message.of_count(
        "second source: {station}, {km:.0f} km away; a day is taken from it",
        "second source: {station}, {km:.0f} km away; {n} days are taken from it",
        taken,
        station=facts.label,
        km=facts.distance_km,
    )
    return replace(weather, notes=(note,), second_station=facts)


def kept_weather(
    raw: DailySeries, site: Site, source: str, on: dt.date, *, invented: bool = False
) -> Weather:
    """Readings up to `on` checked and whole, which can be had again as of any earlier day."""
    raw = _until(raw, on, site, source)
    again = partial(kept_weather, raw, site, source, invented=invented)
    return replace(check_and_fill(raw, source=source, invented=invented), read_until=again)


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
        return demo_series(climate_for(site, settings.climate), on), INVENTED
    series = read_logger_cached(
        folder / settings.file,
        cache=cache,
        site=site.name,
        units=settings.units or units,
        date_format=settings.date_format,
        longitude_deg=site.longitude,
    )
    return series, Message("logger file {file}", file=settings.file)
