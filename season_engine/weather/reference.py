"""A longer record from near by, which a yard's own short one is judged and mended by."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from season_engine.messages import Message
from season_engine.site import Site
from season_engine.weather.cache import read_logger_cached
from season_engine.weather.series import DailySeries, StationFacts
from season_engine.weather.station_weather import read_station
from season_engine.weather.yard import as_this_yard
from season_engine.workspace.settings import LoggerWeather


@dataclass(frozen=True)
class Reference:
    """A second source's daily extremes in a yard's terms, and what is to be told of it."""

    series: DailySeries | None = None
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    station: StationFacts | None = None


def reference_name(site: Site) -> str:
    """The name under which a site's reference is kept in the cache."""
    return f"{site.name} (reference)"


def reference_of(
    site: Site,
    settings: LoggerWeather,
    yard: DailySeries,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: str,
    now: dt.datetime,
    refresh: bool = False,
) -> Reference:
    """The record of `reference` or `reference_station` in the yard's terms, up to `on`.

    It has no series where the settings name none, or it holds nothing up to `on`. `yard` is the logger's own
    record, cut at `on`; `now` and `refresh` are as for `read_station`. Raises GrowerError and WeatherError as
    reading a logger's file or a station does.
    """
    if settings.reference_station is not None:
        wanted = settings.reference_station
        return _station(site, wanted, yard, cache=cache, on=on, now=now, refresh=refresh)
    if settings.reference is None:
        return Reference()
    record = read_logger_cached(
        folder / settings.reference,
        cache=cache,
        site=reference_name(site),
        units=settings.units or units,
        date_format=settings.date_format,
        longitude_deg=site.longitude,
    ).cut(on)
    if not len(record):
        return Reference()
    series, text = as_this_yard(record, yard, cache=cache, site=site.name)
    told = Message("reference {file}: {text}", file=settings.reference, text=text)
    return Reference(series, (told,) if text else ())


def _station(
    site: Site,
    wanted: str,
    yard: DailySeries,
    *,
    cache: Path,
    on: dt.date,
    now: dt.datetime,
    refresh: bool,
) -> Reference:
    key = "reference_station"
    readings = read_station(site, wanted, cache=cache, on=on, now=now, refresh=refresh, key=key)
    record, facts = readings.series.cut(on), readings.facts
    if not len(record):
        return Reference(warnings=readings.warnings)
    series, text = as_this_yard(record, yard, cache=cache, site=site.name)
    note = Message("reference {station}, {km:.0f} km away", station=facts.label, km=facts.distance_km)
    if text:
        note = Message("{reference}: {text}", reference=note, text=text)
    return Reference(series, (note,), readings.warnings, facts)
