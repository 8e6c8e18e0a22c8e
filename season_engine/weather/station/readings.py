"""A site's temperatures from a public station: chosen, fetched when due, brought to the site's height."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from season_engine.errors import GrowerError, NotFetchedError, WeatherError
from season_engine.site import Site
from season_engine.weather.notices import (
    DirectoryNotFetched,
    OlderReadingsUsed,
    StationReplaced,
    StationTrouble,
    YearsNotFetched,
)
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import StationFacts
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.station.choice import (
    SEARCH_KM,
    STATION_ID,
    Station,
    corrected,
    height_correction_c,
    in_order,
)
from season_engine.weather.station.copies import (
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
from season_engine.weather.station.fetch import Downloads, fetch_directory, fetch_station
from season_engine.weather.station.provider import LICENCE, PROVIDER

NEAREST = "nearest"
SECONDS_TRIED = 3  # stations, before there is held to be no second source
READINGS_LIFE = dt.timedelta(days=1)
DIRECTORY_LIFE = dt.timedelta(days=30)
OTHERS_NAMED = 3


@dataclass(frozen=True)
class StationReadings:
    """A station's daily extremes at a site's height, what is to be told of it, and what went wrong."""

    series: DailySeries
    facts: StationFacts
    warnings: tuple[StationTrouble, ...] = ()
    failed: bool = False  # something due could not be fetched; a warning says what


def read_station(site: Site, wanted: str, retrieval: Retrieval, *, key: str = "station") -> StationReadings:
    """Daily extremes of the station that stands for a site; they may reach past the day asked about.

    Parameters
    ----------
    wanted : the station's id, or "nearest".
    retrieval : what is fresh in its cache is used without a request; its moment decides what is fetched
        again, never which days are known.
    key : of season.toml that holds `wanted`, for errors.

    Raises WeatherError where no station can be found, NotFetchedError where it can't be fetched, GrowerError
    where `wanted` can't be an id.
    """
    wanted_id = None if wanted.casefold() == NEAREST else _checked_id(wanted, key)
    with Downloads(retrieval.cache, retrieval.moment, retrieval.progress) as downloads:
        run = _Run(site, retrieval, downloads, key)
        directory = _directory(run, wanted_id)
        station, others = _choice(run, directory, wanted_id)
        readings = _readings(run, station, others, directory)
    if wanted_id is not None or not directory.before:
        return readings
    replaced = StationReplaced(directory.fetch.fetched_at.date(), _named(station), directory.before)
    return replace(readings, warnings=(*readings.warnings, replaced))


def second_station(site: Site, retrieval: Retrieval, *, besides: str | None = None) -> StationReadings | None:
    """The best station for a site `besides` one in use, such as to fill gaps from; None where there is none.

    One that the service holds no readings of is passed over. Nothing is raised: without a second source a
    site is no worse off than before. With `refresh` the readings are asked for again, the directory isn't: it
    was for the first station.
    """
    with Downloads(retrieval.cache, retrieval.moment, retrieval.progress) as downloads:
        run = _Run(site, replace(retrieval, refresh=False), downloads)
        try:
            directory = _directory(run, None)
        except WeatherError:
            return None
        rest = [one for one in _order(run, directory) if one.id != besides]
        for place, station in enumerate(rest[:SECONDS_TRIED], start=1):
            try:
                return _readings(replace(run, retrieval=retrieval), station, rest[place:], directory)
            except WeatherError:
                continue
    return None


@dataclass(frozen=True)
class _Run:
    """What holds for one reading of a station."""

    site: Site
    retrieval: Retrieval
    downloads: Downloads
    key: str = "station"

    @property
    def now(self) -> dt.datetime:
        return self.retrieval.moment


def _checked_id(wanted: str, key: str) -> str:
    if not STATION_ID.fullmatch(wanted):
        raise GrowerError(
            f"\"{wanted}\" can't be a station's id: those are letters and digits.",
            hint=f'Write {key} = "nearest" to have one chosen.',
            field=f"site.weather.{key}",
        )
    return wanted


def _directory(run: _Run, wanted: str | None) -> Directory:
    path = directory_file(run.retrieval.cache, run.site, wanted)
    kept = load_directory(path)
    if kept is not None and not run.retrieval.refresh and not kept.fetch.due(run.now, DIRECTORY_LIFE):
        return kept
    fresh = fetch_directory(run.site, wanted, kept, run.downloads, now=run.now, refresh=run.retrieval.refresh)
    if kept is not None:
        fresh = replace(fresh, before=_before(run, kept, fresh))
    keep_directory(path, fresh)
    return fresh


def _before(run: _Run, kept: Directory, fresh: Directory) -> str:
    """The station that came first by the kept directory, if another does by the fresh one."""
    if fresh.fetch.trouble:
        return kept.before
    then, now = (_order(run, one)[:1] for one in (kept, fresh))
    return _named(then[0]) if then and [one.id for one in then] != [one.id for one in now] else ""


def _order(run: _Run, directory: Directory) -> list[Station]:
    listed_on = directory.fetch.fetched_at.date()
    return in_order(directory.stations, run.site.elevation_m, on=run.retrieval.on, listed_on=listed_on)


def _choice(run: _Run, directory: Directory, wanted: str | None) -> tuple[Station, list[Station]]:
    """The station to use, and those that could stand in its place."""
    order = _order(run, directory)
    if wanted is None:
        if not order:
            raise WeatherError(
                f"{run.site.name}: no weather station within {SEARCH_KM:.0f} km has a record that will do.",
                hint="Name a station further off by its id, or use a logger's file.",
            )
        return order[0], order[1:]
    for station in directory.stations:
        if station.id.upper() == wanted.upper():
            return station, [one for one in order if one.id != station.id]
    raise GrowerError(
        f'{run.site.name}: there is no weather station "{wanted}" with temperatures.',
        hint=f"Near are {', '.join(map(_named, order[:OTHERS_NAMED]))}." if order else "",
        field=f"site.weather.{run.key}",
    )


def _readings(run: _Run, station: Station, others: list[Station], directory: Directory) -> StationReadings:
    path = station_file(run.retrieval.cache, station.id)
    copy = load_station(path)
    if copy is None or run.retrieval.refresh or copy.fetch.due(run.now, READINGS_LIFE):
        ended = station.ended(directory.fetch.fetched_at.date())
        copy = fetch_station(
            station, copy, run.downloads, now=run.now, ended=ended, refresh=run.retrieval.refresh
        )
        if len(copy.series) or not copy.fetch.trouble:  # that there is nothing is a fact worth keeping too
            keep_station(path, copy)
    if not len(copy.series):
        raise _nothing(run.site, station, copy, others)
    facts = _facts(run, station, copy, others)
    trouble = copy.fetch.trouble or directory.fetch.trouble  # one warning for one outage
    warnings = (*run.downloads.notes, *(_told(one, station, copy, run.now) for one in trouble))
    return StationReadings(corrected(copy.series, facts), facts, warnings, failed=bool(trouble))


def _nothing(site: Site, station: Station, copy: StationCopy, others: list[Station]) -> WeatherError:
    if copy.fetch.trouble:
        cause = copy.fetch.trouble[0].cause
        return NotFetchedError(
            f"{site.name}: nothing could be fetched of weather station {_named(station)}: {cause}.",
            hint="Check the network and run again.",
            cause=cause,
        )
    return WeatherError(
        f"{site.name}: the service holds no daily temperatures of weather station {_named(station)}.",
        hint=f"Near are {', '.join(map(_named, others[:OTHERS_NAMED]))}." if others else "",
    )


def _named(station: Station) -> str:
    return f"{station.id} ({station.name}, {station.distance_km:.0f} km)"


def _facts(run: _Run, station: Station, copy: StationCopy, others: list[Station]) -> StationFacts:
    height = station.height_difference_m(run.site.elevation_m)
    return StationFacts(
        id=station.id,
        name=station.name,
        distance_km=station.distance_km,
        height_difference_m=height,
        correction_c=height_correction_c(height),
        attribution=", ".join((PROVIDER, *copy.attribution)),
        licence=LICENCE,
        fetched_at=copy.fetch.fetched_at,
        missing_years=tuple(year for year in copy.missing_years if year <= run.retrieval.on.year),
        others=tuple(map(_named, others[:OTHERS_NAMED])),
    )


def _told(trouble: Trouble, station: Station, copy: StationCopy, now: dt.datetime) -> StationTrouble:
    """One failure as a warning: what, why, and how old what is used instead is."""
    if not trouble.years:
        return DirectoryNotFetched(trouble.cause)
    if not trouble.older_used:
        return YearsNotFetched(station.name, trouble.years, trouble.cause)
    fetched_at = copy.fetch.fetched_at
    age = (now - fetched_at).days
    return OlderReadingsUsed(station.name, trouble.years, trouble.cause, fetched_at.date(), age)
