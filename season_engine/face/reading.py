"""Temperatures for Python, read, checked and mended as the commands do it.

Nothing here reads the clock. Whatever the day asked about, readings after it have no part in an answer.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from season_engine.face.asked import Day, as_day, check_hemisphere, check_site
from season_engine.facts import Units
from season_engine.site import Site
from season_engine.weather.invented.climates import climate_for
from season_engine.weather.invented.series import demo_series
from season_engine.weather.logger.frame import NAME as FRAME
from season_engine.weather.logger.frame import frame_series
from season_engine.weather.logger.reading import parse_logger, read_content
from season_engine.weather.record import kept_weather
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin, InventedOrigin, LoggerOrigin, Origin
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.sources.station import PublicStation

if TYPE_CHECKING:
    import pandas as pd


def read_logger(
    path: Path | str,
    site: Site,
    *,
    units: Units = "degC",
    date_format: str | None = None,
    on: Day | None = None,
) -> Weather:
    """Temperatures of a logger's CSV file.

    Parameters
    ----------
    path : a file of `date,tmin,tmax` a day, or `time,temp` every hour or oftener, in any common spelling.
    site : whose temperatures they are.
    units : of the file, "degC" or "degF".
    date_format : a `strptime` format, for dates that can be read in two ways.
    on : the day that counts as today (default: the last in the file); nothing after it is kept.

    Raises
    ------
    GrowerError : what can't be read, by file, line and column; readings of the other hemisphere.
    WeatherError : no such file, or no reading up to `on`.
    """
    check_site(site)
    series = parse_logger(
        read_content(Path(path)),
        file=str(path),
        units=units,
        date_format=date_format,
        longitude_deg=site.longitude,
    )
    return _checked(series, site, LoggerOrigin(Path(path).name), on)


def read_frame(
    frame: pd.DataFrame,
    site: Site,
    *,
    units: Units = "degC",
    date_format: str | None = None,
    on: Day | None = None,
) -> Weather:
    """Temperatures of a pandas data frame: tmin and tmax a day, or temp every hour or oftener.

    Dates or times are its index, or a column; columns are found in any spelling `read_logger` knows, and
    others left alone. Rows are in order of time. Times that bear a zone are taken to the solar time of the
    site, others are of its own clock.

    Parameters and errors are those of `read_logger`; an error's lines are rows, counted from 1.
    """
    check_site(site)
    series = frame_series(frame, units=units, date_format=date_format, longitude_deg=site.longitude)
    return _checked(series, site, GivenOrigin(FRAME), on)


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


def _checked(series: DailySeries, site: Site, source: Origin, on: Day | None) -> Weather:
    weather = kept_weather(series, site, source, series.last_day if on is None else as_day(on))
    check_hemisphere(site, weather)
    return weather


def _station_weather(
    site: Site, station: PublicStation, cache: Path, read_on: dt.date, on: dt.date
) -> Weather:
    """As it could be read on a day up to the one it was fetched on."""
    noon = dt.datetime.combine(read_on, dt.time(12), dt.UTC)
    weather = station.read(site, Retrieval(cache, min(on, read_on), noon))
    return replace(weather, read_until=partial(_station_weather, site, station, cache, read_on))
