"""Temperatures for Python, read, checked and mended as the commands do it.

Nothing here reads the clock. Whatever the day asked about, readings after it have no part in an answer.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from season_engine.face.asked import Day, as_day, check_hemisphere, check_site
from season_engine.facts import Units
from season_engine.site import Site
from season_engine.weather.invented.climates import climate_for
from season_engine.weather.invented.series import demo_series
from season_engine.weather.logger.far_apart import missed
from season_engine.weather.logger.frame import NAME as FRAME
from season_engine.weather.logger.frame import frame_record
from season_engine.weather.logger.how import ReadAs, Role
from season_engine.weather.logger.reading import LoggerRecord, read_record
from season_engine.weather.record import kept_weather
from season_engine.weather.series import Weather
from season_engine.weather.sources.origins import GivenOrigin, InventedOrigin, LoggerOrigin, Origin
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.sources.station import PublicStation

if TYPE_CHECKING:
    import pandas as pd


def read_logger(
    path: Path | str | Sequence[Path | str],
    site: Site,
    *,
    units: Units | None = None,
    date_format: str | None = None,
    columns: Mapping[Role, str | int] | None = None,
    sensor: str | None = None,
    clock: str | None = None,
    year: int | None = None,
    tenths: bool | None = None,
    flags: Sequence[str] | None = None,
    interval_hours: Literal[1, 2, 3] = 1,
    on: Day | None = None,
) -> Weather:
    """Temperatures of a logger's file, or of several that make one record.

    Parameters
    ----------
    path : a file with each day's lowest and highest, or with readings every hour or oftener, as it comes.
    site : whose temperatures they are.
    units : of the file, "degC" or "degF"; None: as it says itself, else degC.
    date_format : a `strptime` format, for dates that can be read in two ways.
    columns : header, or number from 1, of the columns "time", "date", "temp", "tmin", "tmax", "sensor",
        "flag", and of a date's parts "year", "month", "day", "day_of_year", "hour", "minute".
    sensor : the one outdoors, where rows are of several.
    clock : "UTC" or such as "UTC+2", where all times are in that zone; None: the yard's own.
    year : in which it begins, where its dates have none.
    tenths : whether temperatures are tenths of a degree; None: as the file says.
    flags : the marks that good readings bear, where some are marked as bad.
    interval_hours : the most that readings may be apart; of 2 or 3 the days' extremes come out too mild.
    on : the day that counts as today (default: the last in the file); nothing after it is kept.

    Raises
    ------
    GrowerError : what can't be read, by file, line and column; readings of the other hemisphere.
    WeatherError : no such file, or no reading up to `on`.
    """
    check_site(site)
    paths = [Path(path)] if isinstance(path, str | Path) else [Path(one) for one in path]
    marks = None if flags is None else tuple(flags)
    how = ReadAs(units, "degC", date_format, dict(columns or {}), sensor, clock, year, tenths, marks)
    how = replace(how, interval_hours=interval_hours)
    record = read_record(paths, how, site)
    return _checked(record, site, LoggerOrigin(paths[-1].name), on)


def read_frame(
    frame: pd.DataFrame,
    site: Site,
    *,
    units: Units | None = None,
    date_format: str | None = None,
    columns: Mapping[Role, str | int] | None = None,
    sensor: str | None = None,
    clock: str | None = None,
    year: int | None = None,
    tenths: bool | None = None,
    flags: Sequence[str] | None = None,
    interval_hours: Literal[1, 2, 3] = 1,
    on: Day | None = None,
) -> Weather:
    """Temperatures of a pandas data frame: tmin and tmax a day, or temp every hour or oftener.

    Dates or times are its index, or a column; columns are found in any spelling `read_logger` knows, and
    others left alone. Times that bear a zone are taken to the solar time of the
    site, others are of its own clock.

    Parameters and errors are those of `read_logger`; an error's lines are rows, counted from 1.
    """
    check_site(site)
    marks = None if flags is None else tuple(flags)
    how = ReadAs(units, "degC", date_format, dict(columns or {}), sensor, clock, year, tenths, marks)
    how = replace(how, interval_hours=interval_hours)
    return _checked(frame_record(frame, how, site), site, GivenOrigin(FRAME), on)


def read_station(
    site: Site, station: str = "nearest", *, on: Day, cache: Path | str = "data_cache"
) -> Weather:
    """Temperatures of a public weather station, brought to the site's height.

    Parameters
    ----------
    site : with its `elevation_m`, if the station is to be brought to its height.
    station : its id, or "nearest" for the best one within 100 km.
    on : the day that counts as today. It decides what is fetched anew: current years once a day.
    cache : folder that keeps what was fetched, so that it is fetched once and there without the network.

    Gaps and missing latest days are taken from the next best station where there is one. The result has whom
    to name (`sources`) and what went wrong (`warnings`).

    Raises
    ------
    GrowerError : no such station; readings of the other hemisphere.
    WeatherError : no station near, or nothing could be fetched.
    """
    check_site(site)
    day = as_day(on)
    weather = _station_weather(site, PublicStation(station), Path(cache), day, day)
    check_hemisphere(site, weather)
    return weather


def demo_weather(site: Site, *, on: Day) -> Weather:
    """Invented weather of the site's hemisphere, the same on every machine: 30 years up to a day.

    It is marked `invented`; no tree may be worked by what comes of it.
    """
    check_site(site)
    day = as_day(on)
    return kept_weather(demo_series(climate_for(site, None), day), site, InventedOrigin(), day, invented=True)


def _checked(record: LoggerRecord, site: Site, source: Origin, on: Day | None) -> Weather:
    day = record.daily.last_day if on is None else as_day(on)
    weather = kept_weather(record.daily, site, source, day)
    weather = replace(weather, form=record.form, notes=missed(record.form))
    check_hemisphere(site, weather)
    return weather


def _station_weather(
    site: Site, station: PublicStation, cache: Path, read_on: dt.date, on: dt.date
) -> Weather:
    """As it could be read on a day up to the one it was fetched on."""
    noon = dt.datetime.combine(read_on, dt.time(12), dt.UTC)
    weather = station.read(site, Retrieval(cache, min(on, read_on), noon))
    return replace(weather, read_until=partial(_station_weather, site, station, cache, read_on))
