"""The weather service behind meteostat: where its files are, what a sound one looks like, what is in them.

meteostat reads local files here and never the network: left to itself it turns every failure into "no data".
It is imported where it is used, since that takes half a second.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import io
import logging
import os
import sqlite3
import tempfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from season_engine.files.foreign_csv import BrokenCsv, header_of, records_of
from season_engine.files.foreign_values import LAST_YEAR, decimal_number, whole_number
from season_engine.site import Site
from season_engine.weather.logger.reading import daily_extremes
from season_engine.weather.second.yard_terms import laid_on
from season_engine.weather.series import DailySeries, FloatArray
from season_engine.weather.station.choice import SEARCH_KM, STATION_ID, Station

if TYPE_CHECKING:
    import pandas as pd

URL_VARIABLE = "SEASON_ENGINE_WEATHER_URL"  # a mirror of the service, or a test's server
MOST_LISTED = 60
LARGEST_YEAR = 20_000_000  # bytes of one station's year, unpacked; a real one has some tens of thousands
DATE_COLUMNS = ["year", "month", "day"]
SECONDS_PER_DEGREE = 240  # the sun takes to pass a degree of longitude
EXTREMES = ("tmin", "tmax")
COLUMNS = [*DATE_COLUMNS, "tmin", "tmin_source", "tmax", "tmax_source"]
TABLES = {"stations", "names", "inventory"}
# "Data provided by Meteostat is generally licensed under" it: the README in the metadata of meteostat 2.1.5.
# Terms of single sources may differ; those that ask to be named are named.
PROVIDER, LICENCE = "Meteostat", "CC BY 4.0"


class UnreadableError(Exception):
    """A file that passed for sound can't be read after all."""


@dataclass(frozen=True)
class StationYear:
    """One station's calendar year, and whom its sources ask to be named."""

    series: DailySeries
    attribution: frozenset[str]


@cache
def _endpoints() -> tuple[tuple[str, ...], dict[str, str]]:
    """Addresses of the directory and of one station's year, as meteostat has them before we turn it away."""
    from meteostat.api.config import config

    years = {"daily": config.daily_endpoint, "hourly": config.hourly_endpoint}
    return tuple(config.stations_db_endpoints), years


def directory_urls() -> tuple[str, ...]:
    """Where the directory of stations is, the first choice first."""
    mirror = os.environ.get(URL_VARIABLE)
    return (f"{mirror.rstrip('/')}/stations.db",) if mirror else _endpoints()[0]


def year_url(station: str, year: int, kind: str = "daily") -> str:
    """Where one station's year is, in days or ("hourly") in hours."""
    mirror = os.environ.get(URL_VARIABLE)
    pattern = f"{mirror.rstrip('/')}/{kind}/{{year}}/{{station}}.csv.gz" if mirror else _endpoints()[1][kind]
    return pattern.format(year=year, station=station)


def check_directory(content: bytes) -> None:
    """Raise ValueError unless this is a whole directory of stations."""
    try:
        with _opened(content) as database:
            found = {name for (name,) in database.execute("SELECT name FROM sqlite_master")}
            database.execute("SELECT count(*) FROM inventory").fetchone()
    except sqlite3.Error as error:
        raise ValueError(f"{_what_it_is(content)} instead of the directory of stations") from error
    if not found >= TABLES:
        raise ValueError("the directory of stations has lost a table")


@contextmanager
def _opened(content: bytes) -> Iterator[sqlite3.Connection]:
    database = sqlite3.connect(":memory:")
    try:
        database.deserialize(content)
        yield database
    finally:
        database.close()


def check_year(content: bytes) -> None:
    """Raise ValueError unless this is a whole file of daily readings."""
    text = _unpacked(content)
    try:
        whole = set(header_of(text)) >= set(DATE_COLUMNS)
    except BrokenCsv:
        whole = False
    if not whole:
        raise ValueError(f"{_what_it_is(content)} instead of daily readings")


CHECKS = {".db": check_directory, ".csv.gz": check_year}


def _what_it_is(content: bytes) -> str:
    return "a web page came" if content.lstrip()[:1] == b"<" else "something unknown came"


def _unpacked(content: bytes) -> str:
    """The text of a packed year; some servers unpack it on the way."""
    if content[:2] == b"\x1f\x8b":
        try:
            with gzip.open(io.BytesIO(content)) as file:
                content = file.read(LARGEST_YEAR + 1)
        except (EOFError, OSError, zlib.error) as error:
            raise ValueError("the file is cut short or garbled") from error
    if len(content) > LARGEST_YEAR:
        raise ValueError("the file is far too large")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise ValueError("the file is not text") from error


def find_stations(directory: bytes, site: Site, wanted: str | None = None) -> list[Station]:
    """Stations around a site, nearest first, with the span of their record; or just the one `wanted`.

    Raises UnreadableError.
    """
    try:
        return _found_stations(directory, site, wanted)
    except UnreadableError:
        raise
    except Exception as error:  # what meteostat and pandas make of tables that aren't as they should be
        raise UnreadableError(str(error)) from error


def named_stations(directory: bytes) -> list[tuple[str, str, str, float, float, float | None]]:
    """Id, name, country, latitude, longitude and height [m] of all stations, a row for each name.

    Raises UnreadableError.
    """
    wanted = """SELECT stations.id, names.name, stations.country, latitude, longitude, elevation
        FROM stations JOIN names ON names.station = stations.id"""
    try:
        with _opened(directory) as database:
            return [
                (
                    str(of),
                    str(name),
                    str(country or ""),
                    float(lat),
                    float(lon),
                    None if z is None else float(z),
                )
                for of, name, country, lat, lon, z in database.execute(wanted)
            ]
    except (sqlite3.Error, TypeError, ValueError) as error:
        raise UnreadableError(str(error)) from error


def _found_stations(directory: bytes, site: Site, wanted: str | None) -> list[Station]:
    with _meteostat(directory=directory) as meteostat:
        point = meteostat.Point(site.latitude, site.longitude, None)
        # Without a radius an explicit id is found however far it is.
        radius_m, most = (SEARCH_KM * 1000, MOST_LISTED) if wanted is None else (3e7, 10**6)
        found = meteostat.stations.nearby(point, radius=radius_m, limit=most)
        if wanted is not None:
            found = found[found.index.str.upper() == wanted.upper()]
        inventory = meteostat.stations.inventory(list(found.index)).df if len(found) else None
    if inventory is None:
        return []
    inventory = inventory.reset_index()
    observed = inventory[~inventory["provider"].isin(_model_sources())]
    listed = (_station(row, observed[observed["station"] == row.Index]) for row in found.itertuples())
    return [one for one in listed if one is not None]


def _station(row: Any, inventory: pd.DataFrame) -> Station | None:
    """A station from its line in the directory; None where it has no temperatures."""
    extremes = inventory[inventory["parameter"].isin(EXTREMES)]
    daily = set(extremes["parameter"]) == set(EXTREMES)
    lines = extremes if daily else inventory[inventory["parameter"] == "temp"]
    if lines.empty or not STATION_ID.fullmatch(str(row.Index)):  # files are named by it
        return None
    known = [float(share) for share in lines["completeness"].dropna()]
    completeness = max(known) if known else None
    if completeness is not None and completeness > 1.0:
        completeness /= 100.0  # given in per cent
    return Station(
        id=str(row.Index),
        name=str(row.name),
        latitude=float(row.latitude),
        longitude=float(row.longitude),
        elevation_m=None if row.elevation is None or np.isnan(row.elevation) else float(row.elevation),
        timezone=row.timezone if isinstance(row.timezone, str) else None,
        distance_km=float(row.distance) / 1000.0,
        first_day=dt.date.fromisoformat(str(lines["start"].min())[:10]),
        last_day=dt.date.fromisoformat(str(lines["end"].max())[:10]),
        completeness=completeness,
        daily_extremes=daily,
    )


def read_year(station: str, year: int, content: bytes) -> StationYear:
    """One station's calendar year from its file, NaN where no station observed; raises UnreadableError."""
    start, end = dt.date(year, 1, 1), dt.date(year, 12, 31)
    with _meteostat(station_year=(station, year, _as_expected(content))) as meteostat:
        parameters = [meteostat.Parameter.TMIN, meteostat.Parameter.TMAX]
        place = meteostat.Station(id=station)
        table = meteostat.daily(place, start, end, parameters=parameters).fetch(sources=True)
    values: dict[str, FloatArray] = {}
    named: set[str] = set()
    for name in EXTREMES:
        values[name] = np.full((end - start).days + 1, np.nan)
        if table is None or name not in table:
            continue
        sources = table[f"{name}_source"].fillna("").astype(str)
        observed = table[name].notna() & ~sources.map(_is_modelled)
        days = (table.index[observed].to_numpy().astype("datetime64[D]") - np.datetime64(start)).astype(int)
        values[name][days] = table.loc[observed, name].to_numpy(dtype=np.float64)
        named.update(*(source.split() for source in sources[observed].unique()))
    return StationYear(DailySeries(start, values["tmin"], values["tmax"]), _attribution(named))


def read_hours(contents: Iterable[bytes], year: int, longitude_deg: float) -> StationYear:
    """Lowest and highest hour of each day of one year, from files whose hours are those of UTC.

    Days go by the sun at `longitude_deg` (east positive), so that the first or last may need the file of the
    year before or after too. A day with observations in fewer than 20 of its hours is missing, as it is in a
    logger's file. Raises UnreadableError.
    """
    seconds: list[int] = []
    temp_c: list[float] = []
    named: set[str] = set()
    try:
        for content in contents:
            for row in records_of(_unpacked(content)):
                source = row.get("temp_source", "")
                if row["temp"] == "" or _is_modelled(source):
                    continue
                day = _date(row) - dt.date(1970, 1, 1)
                seconds.append((day.days * 24 + _whole(row["hour"], 0, 23)) * 3600)
                temp_c.append(_temperature(row["temp"]))
                named.update(source.split())
    except (ValueError, KeyError) as error:
        raise UnreadableError(str(error)) from error
    start, days = dt.date(year, 1, 1), (dt.date(year + 1, 1, 1) - dt.date(year, 1, 1)).days
    solar = np.array(seconds, dtype=np.int64) + round(longitude_deg * SECONDS_PER_DEGREE)
    series = daily_extremes(solar, np.array(temp_c)) if seconds else DailySeries(start, *np.empty((2, 0)))
    return StationYear(laid_on(series, start, days), _attribution(named))


def _as_expected(content: bytes) -> bytes:
    """The file as meteostat looks for it, each date and reading held to a check of ours.

    Dates go by place, and a reading without a source would be dropped in silence. Raises UnreadableError.
    """
    table = io.StringIO()
    writer = csv.DictWriter(table, COLUMNS, restval="", extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    try:
        for row in records_of(_unpacked(content)):
            date = _date(row)
            row.update(year=str(date.year), month=str(date.month), day=str(date.day))
            for name in EXTREMES:
                row[name] = f"{_temperature(row[name])}" if row.get(name) else ""
                row[f"{name}_source"] = row.get(f"{name}_source") or "daily"
            writer.writerow(row)
    except (ValueError, KeyError) as error:
        raise UnreadableError(str(error)) from error
    return gzip.compress(table.getvalue().encode(), compresslevel=1)


def _date(row: Mapping[str, str]) -> dt.date:
    year, month, day = (_whole(row[name], 1, LAST_YEAR) for name in DATE_COLUMNS)
    return dt.date(year, month, day)


def _whole(text: str, least: int, most: int) -> int:
    number = whole_number(text, least, most)
    if number is None:
        raise ValueError(f'"{text[:20]}" is not a number from {least} to {most}')
    return number


def _temperature(text: str) -> float:
    number = decimal_number(text, exponents=True)
    if number is None:
        raise ValueError(f'"{text[:20]}" is not a temperature')
    return number


@cache
def _model_sources() -> frozenset[str]:
    """Sources that calculate what they didn't observe."""
    from meteostat.core.providers import provider_service
    from meteostat.enumerations import Grade

    return frozenset(
        str(one.id) for one in provider_service.providers if one.grade in (Grade.ANALYSIS, Grade.FORECAST)
    )


def _is_modelled(source: str) -> bool:
    return not _model_sources().isdisjoint(source.split())


def _attribution(sources: set[str]) -> frozenset[str]:
    from meteostat.core.providers import provider_service

    found = (provider_service.get_provider(source) for source in sources)
    licences = (one.license for one in found if one is not None and one.license is not None)
    return frozenset(one.attribution for one in licences if one.attribution)


class _Complaints(logging.Handler):
    """Hears what meteostat only logs: that it could not read a file."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage())


@contextmanager
def _meteostat(
    *, directory: bytes | None = None, station_year: tuple[str, int, bytes] | None = None
) -> Iterator[Any]:
    """Meteostat, reading the given file and nothing else; raises UnreadableError for what it only logs."""
    _endpoints()  # remembers the service's addresses before they are replaced
    import meteostat
    from meteostat.providers.meteostat import daily

    complaints, log = _Complaints(), logging.getLogger("meteostat")
    with tempfile.TemporaryDirectory(prefix="season-engine-") as name:
        folder = Path(name)
        config = meteostat.config
        config.cache_enable, config.block_large_requests = False, False
        config.stations_db_file, config.stations_db_ttl = str(folder / "stations.db"), 10**9
        config.daily_endpoint = daily.ENDPOINT = str(folder / "{station}-{year}.csv.gz")  # bound on import
        if directory is not None:
            (folder / "stations.db").write_bytes(directory)
        if station_year is not None:
            station, year, content = station_year
            (folder / f"{station}-{year}.csv.gz").write_bytes(content)
        log.addHandler(complaints)
        propagate, log.propagate = log.propagate, False
        try:
            yield meteostat
        finally:
            log.removeHandler(complaints)
            log.propagate = propagate
    if complaints.heard:
        raise UnreadableError(complaints.heard[0])
