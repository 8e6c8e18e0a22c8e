"""A site's temperatures from a public station: chosen, fetched when due, brought to the site's height."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from pathlib import Path

from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.provider import LICENCE, PROVIDER
from season_engine.weather.series import DailySeries, StationFacts
from season_engine.weather.station_copies import (
    Directory,
    StationCopy,
    Trouble,
    directory_file,
    keep_directory,
    keep_station,
    load_directory,
    load_station,
    station_file,
)
from season_engine.weather.station_fetch import Downloads, fetch_directory, fetch_station, spans
from season_engine.weather.stations import SEARCH_KM, Station, corrected, height_correction_c, in_order

NEAREST = "nearest"
READINGS_LIFE = dt.timedelta(days=1)
DIRECTORY_LIFE = dt.timedelta(days=30)
OTHERS_NAMED = 3
STATION_ID = re.compile(r"[A-Za-z0-9]{1,20}")


@dataclass(frozen=True)
class StationReadings:
    """A station's daily extremes at a site's height, what is to be told of it, and what went wrong."""

    series: DailySeries
    facts: StationFacts
    warnings: tuple[str, ...] = ()


def read_station(
    site: Site, wanted: str, *, cache: Path, on: dt.date, now: dt.datetime, refresh: bool = False
) -> StationReadings:
    """Daily extremes of the station that stands for a site; they may reach past `on`.

    Parameters
    ----------
    wanted : the station's id, or "nearest".
    cache : folder for what was fetched; what is fresh there is used without a request.
    now : the moment, with its time zone: it decides what is fetched again, never which days are known.
    refresh : ask the service again whatever the age of what is kept.

    Raises WeatherError where no station can be found or fetched, GrowerError where `wanted` can't be an id.
    """
    wanted_id = None if wanted.casefold() == NEAREST else _checked_id(wanted)
    with Downloads(cache, now) as downloads:
        directory = _directory(site, wanted_id, cache, downloads, now, refresh)
        best, others = _choice(site, wanted_id, directory, on)
        return _readings(site, best, others, directory, downloads, cache, now, refresh)


def second_station(
    site: Site, *, cache: Path, on: dt.date, now: dt.datetime, besides: str | None = None
) -> StationReadings | None:
    """The best station for a site `besides` one in use, such as to fill gaps from; None where there is none.

    Nothing is raised: without a second source a site is no worse off than before.
    """
    with Downloads(cache, now) as downloads:
        try:
            directory = _directory(site, None, cache, downloads, now, refresh=False)
            order = _order(site, directory, on)
            for place, station in enumerate(order):
                if station.id != besides:
                    others = order[place + 1 :]
                    return _readings(site, station, others, directory, downloads, cache, now, refresh=False)
        except WeatherError:
            return None
    return None


def _checked_id(wanted: str) -> str:
    if not STATION_ID.fullmatch(wanted):
        raise GrowerError(
            f"\"{wanted}\" can't be a station's id: those are letters and digits.",
            hint='Write station = "nearest" to have one chosen.',
            field="site.weather.station",
        )
    return wanted


def _directory(
    site: Site, wanted: str | None, cache: Path, downloads: Downloads, now: dt.datetime, refresh: bool
) -> Directory:
    path = directory_file(cache, site, wanted)
    kept = load_directory(path)
    if kept is not None and not refresh and not kept.fetch.due(now, DIRECTORY_LIFE):
        return kept
    directory = fetch_directory(site, wanted, kept, downloads, now=now, refresh=refresh)
    keep_directory(path, directory)
    return directory


def _order(site: Site, directory: Directory, on: dt.date) -> list[Station]:
    listed_on = directory.fetch.fetched_at.date()
    return in_order(directory.stations, site.elevation_m, on=on, listed_on=listed_on)


def _choice(
    site: Site, wanted: str | None, directory: Directory, on: dt.date
) -> tuple[Station, list[Station]]:
    """The station to use, and those that could stand in its place."""
    order = _order(site, directory, on)
    if wanted is None:
        if not order:
            raise WeatherError(
                f"{site.name}: no weather station within {SEARCH_KM:.0f} km has a record that will do.",
                hint="Name a station further off by its id, or use a logger's file.",
            )
        return order[0], order[1:]
    for station in directory.stations:
        if station.id.upper() == wanted.upper():
            return station, [one for one in order if one.id != station.id]
    raise GrowerError(
        f'{site.name}: there is no weather station "{wanted}" with temperatures.',
        hint=f"Near are {', '.join(map(_named, order[:OTHERS_NAMED]))}." if order else "",
        field="site.weather.station",
    )


def _readings(
    site: Site,
    station: Station,
    others: list[Station],
    directory: Directory,
    downloads: Downloads,
    cache: Path,
    now: dt.datetime,
    refresh: bool,
) -> StationReadings:
    path = station_file(cache, station.id)
    copy = load_station(path)
    if copy is None or refresh or copy.fetch.due(now, READINGS_LIFE):
        ended = station.ended(directory.fetch.fetched_at.date())
        copy = fetch_station(station, copy, downloads, now=now, ended=ended, refresh=refresh)
        if len(copy.series):
            keep_station(path, copy)
    if not len(copy.series):
        raise _nothing(site, station, copy, others)
    facts = _facts(site, station, copy, others)
    trouble = copy.fetch.trouble or directory.fetch.trouble  # one warning for one outage
    warnings = (*downloads.notes, *(_sentence(one, station, copy, now) for one in trouble))
    return StationReadings(corrected(copy.series, facts), facts, warnings)


def _nothing(site: Site, station: Station, copy: StationCopy, others: list[Station]) -> WeatherError:
    if copy.fetch.trouble:
        return WeatherError(
            f"{site.name}: nothing could be fetched of weather station {_named(station)}: "
            f"{copy.fetch.trouble[0].cause}.",
            hint="Check the network and run again.",
        )
    return WeatherError(
        f"{site.name}: the service holds no daily temperatures of weather station {_named(station)}.",
        hint=f"Near are {', '.join(map(_named, others[:OTHERS_NAMED]))}." if others else "",
    )


def _named(station: Station) -> str:
    return f"{station.id} ({station.name}, {station.distance_km:.0f} km)"


def _facts(site: Site, station: Station, copy: StationCopy, others: list[Station]) -> StationFacts:
    height = station.height_difference_m(site.elevation_m)
    return StationFacts(
        id=station.id,
        name=station.name,
        distance_km=station.distance_km,
        height_difference_m=height,
        correction_c=height_correction_c(height),
        attribution=", ".join((PROVIDER, *copy.attribution)),
        licence=LICENCE,
        fetched_at=copy.fetch.fetched_at,
        missing_years=copy.missing_years,
        others=tuple(map(_named, others[:OTHERS_NAMED])),
    )


def _sentence(trouble: Trouble, station: Station, copy: StationCopy, now: dt.datetime) -> str:
    """One failure as a warning: what, why, and how old what is used instead is."""
    if not trouble.years:
        return f"The directory of stations could not be fetched ({trouble.cause}); the older one is used."
    years = spans(trouble.years)
    if not trouble.older_used:
        return (
            f"Readings of {years} could not be fetched from weather station {station.name} "
            f"({trouble.cause}); those days count as missing until they can be."
        )
    day = copy.fetch.fetched_at
    age = (now - day).days
    ago = {0: "today", 1: "yesterday"}.get(age, f"{age} days ago")
    return (
        f"Weather station {station.name} gave nothing new for {years} ({trouble.cause}); "
        f"readings fetched on {day.day} {day:%B %Y}, {ago}, are used."
    )
