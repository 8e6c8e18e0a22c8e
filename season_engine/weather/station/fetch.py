"""Fetching a station's years and the directory of stations, and joining them to what is kept."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from season_engine.errors import NotFetchedError
from season_engine.facts import Progress
from season_engine.site import Site
from season_engine.weather.notices import DownloadTrouble
from season_engine.weather.series import DailySeries
from season_engine.weather.station.choice import Station
from season_engine.weather.station.copies import Directory, Fetch, StationCopy, Trouble
from season_engine.weather.station.provider import (
    CHECKS,
    StationYear,
    UnreadableError,
    directory_urls,
    find_stations,
    read_hours,
    read_year,
    year_url,
)

if TYPE_CHECKING:
    from season_engine.weather.http import Absent, Download, Got, WeatherHttp

MOST_YEARS = 40
LOST_SHARE = 0.5  # a year that comes back with fewer readings than this share is held to be damaged


class Downloads:
    """The HTTP path of one run, opened when it is first needed."""

    def __init__(self, cache: Path, now: dt.datetime, progress: Progress | None = None) -> None:
        self._cache = cache
        self._now = now
        self.progress = progress
        self._http: WeatherHttp | None = None

    def __enter__(self) -> Downloads:
        return self

    def __exit__(self, *_error: object) -> None:
        if self._http is not None:
            self._http.__exit__(None, None, None)

    @property
    def notes(self) -> tuple[DownloadTrouble, ...]:
        """What had to be mended on the way."""
        return () if self._http is None else tuple(self._http.notes)

    def get(self, url: str, *, refresh: bool) -> Download:
        """The file at `url`."""
        if self._http is None:
            from season_engine.weather.http import WeatherHttp

            running = f"{self._now.year}|{self._now.year - 1}"  # readings of last year still come in
            short_lived = re.compile(rf"/({running})/[^/]*$")
            self._http = WeatherHttp(self._cache, checks=CHECKS, short_lived=short_lived)
        return self._http.get(url, refresh=refresh)


def fetch_directory(
    site: Site,
    wanted: str | None,
    kept: Directory | None,
    downloads: Downloads,
    *,
    now: dt.datetime,
    refresh: bool,
) -> Directory:
    """The stations around a site, and the `wanted` one; raises NotFetchedError without a directory."""
    from season_engine.weather.http import Absent, Failed, Got

    cause = ""
    for url in directory_urls():
        download = downloads.get(url, refresh=refresh)
        older = download.kept if isinstance(download, Failed) else None
        try:
            if isinstance(download, Got):
                return Directory(_around(site, wanted, download), Fetch(now, now))
            cause = download.cause if isinstance(download, Failed) else "the service has none"
            if kept is None and older is not None and not isinstance(older, Absent):
                kept = Directory(_around(site, wanted, older), Fetch(older.fetched_at, now))
        except UnreadableError:
            cause = "it can't be read"
    if kept is None:
        raise NotFetchedError(
            f"{site.name}: the directory of weather stations can't be fetched: {cause}.",
            hint="Check the network and run again, or use a logger's file.",
            cause=cause,
        )
    return Directory(kept.stations, Fetch(kept.fetch.fetched_at, now, (Trouble(cause, (), True),)))


def _around(site: Site, wanted: str | None, directory: Got) -> tuple[Station, ...]:
    stations = find_stations(directory.content, site)
    if wanted is not None and all(one.id.upper() != wanted.upper() for one in stations):
        stations += find_stations(directory.content, site, wanted)
    return tuple(stations)


@dataclass
class _Years:
    """Calendar years of one station as they come in."""

    found: dict[int, StationYear] = field(default_factory=dict)
    missing: list[int] = field(default_factory=list)
    failed: dict[tuple[str, bool], list[int]] = field(default_factory=lambda: defaultdict(list))
    oldest: dt.datetime | None = None  # of what an earlier download left

    def fail(self, year: int, cause: str, *, older_used: bool) -> None:
        self.failed[cause, older_used].append(year)

    @property
    def trouble(self) -> tuple[Trouble, ...]:
        return tuple(Trouble(cause, tuple(years), used) for (cause, used), years in self.failed.items())


def fetch_station(
    station: Station,
    kept: StationCopy | None,
    downloads: Downloads,
    *,
    now: dt.datetime,
    ended: bool,
    refresh: bool,
) -> StationCopy:
    """A station's temperatures, fresh where they could be fetched; an empty series where there are none.

    No reading that is kept gets lost: a year that can't be fetched, or comes back nearly empty, stays as it
    was.
    """
    last_year = station.last_day.year if ended else now.year
    years = _Years()
    source = _Source(station, downloads, last_year, refresh)
    wanted = range(max(station.first_day.year, now.year - MOST_YEARS + 1), last_year + 1)
    for done, year in enumerate(wanted, start=1):
        _fetch_year(source, year, years, kept)
        if downloads.progress:
            downloads.progress(done, len(wanted))
    fetched_at = now
    if any(one.older_used for one in years.trouble):
        fetched_at = kept.fetch.fetched_at if kept else years.oldest or now
    series = _joined({year: one.series for year, one in years.found.items()})
    named = {name for one in years.found.values() for name in one.attribution}
    named.update(kept.attribution if kept else ())
    fetch = Fetch(fetched_at, now, years.trouble)
    return StationCopy(series, fetch, tuple(sorted(named)), tuple(years.missing))


@dataclass(frozen=True)
class _Source:
    """Where a station's years come from: files of days, or of hours where it has no daily extremes."""

    station: Station
    downloads: Downloads
    last_year: int
    refresh: bool

    def get(self, year: int) -> tuple[Download, bool]:
        """A year's file, and whether it is one of hours."""
        from season_engine.weather.http import Failed

        daily = self._get(year, "daily")
        file = daily.kept if isinstance(daily, Failed) else daily
        if self.station.daily_extremes or file is None or self._has_extremes(file, year):
            return daily, False
        return self._get(year, "hourly"), True

    def read(self, year: int, file: Got, *, hours: bool) -> StationYear:
        """A file's temperatures; raises UnreadableError."""
        if hours:
            contents = [file.content, *self._next_to(year)]
            read = read_hours(contents, year, self.station.longitude)
        else:
            read = read_year(self.station.id, year, file.content)
        return StationYear(_whole_days(read.series, self.station, file), read.attribution)

    def _get(self, year: int, kind: str) -> Download:
        return self.downloads.get(year_url(self.station.id, year, kind), refresh=self.refresh)

    def _has_extremes(self, file: Got | Absent, year: int) -> bool:
        from season_engine.weather.http import Absent

        try:
            return not isinstance(file, Absent) and _readings(self.read(year, file, hours=False).series) > 0
        except UnreadableError:
            return True  # which is told once it is read in earnest

    def _next_to(self, year: int) -> Iterator[bytes]:
        """The hours that this year's first days (in the east) or last ones lack: files count them in UTC."""
        from season_engine.weather.http import Failed

        other = year - 1 if self.station.longitude > 0 else year + 1
        if self.station.first_day.year <= other <= self.last_year:
            file = self.downloads.get(year_url(self.station.id, other, "hourly"), refresh=False)
            content = getattr(file.kept if isinstance(file, Failed) else file, "content", None)
            if content is not None:
                yield content


def _fetch_year(source: _Source, year: int, years: _Years, kept: StationCopy | None) -> None:
    from season_engine.weather.http import Absent, Failed

    download, hours = source.get(year)
    older = _of_year(kept.series, year) if kept else None
    cause = ""
    if isinstance(download, Failed):
        cause = download.cause
        if download.kept is not None:
            years.oldest = min(years.oldest or download.kept.fetched_at, download.kept.fetched_at)
        if download.kept is None or older is not None:
            _use_older(year, older, years, cause)
            return
        download = download.kept
    if isinstance(download, Absent):
        if older is not None and _readings(older):
            _use_older(year, older, years, "the service no longer has the file")
        else:
            years.missing.append(year)
            if cause:
                years.fail(year, cause, older_used=True)
        return
    try:
        fresh = source.read(year, download, hours=hours)
    except UnreadableError:
        _use_older(year, older, years, "the file can't be read")
        return
    if older is not None and _readings(fresh.series) < LOST_SHARE * _readings(older):
        _use_older(year, older, years, "the file has lost most of its readings")
        return
    years.found[year] = fresh
    if cause:
        years.fail(year, cause, older_used=True)


def _use_older(year: int, older: DailySeries | None, years: _Years, cause: str) -> None:
    years.fail(year, cause, older_used=older is not None)
    if older is not None:
        years.found[year] = StationYear(older, frozenset())


def _readings(series: DailySeries) -> int:
    return int(np.count_nonzero(~np.isnan(series.tmin_c)) + np.count_nonzero(~np.isnan(series.tmax_c)))


def _of_year(series: DailySeries, year: int) -> DailySeries | None:
    """The part of a series that lies in one year; None where there is no such day."""
    inside = series.days.astype("datetime64[Y]") == np.datetime64(str(year))
    places = np.flatnonzero(inside)
    if not places.size:
        return None
    first = series.first_day + dt.timedelta(days=int(places[0]))
    return DailySeries(first, series.tmin_c[inside], series.tmax_c[inside])


def _whole_days(series: DailySeries, station: Station, download: Got) -> DailySeries:
    """Days that were over, on the station's clock, when the file came: a half day has no highest reading."""
    try:
        zone: dt.tzinfo = zoneinfo.ZoneInfo(station.timezone or "UTC")
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        zone = dt.UTC
    return series.cut(download.fetched_at.astimezone(zone).date() - dt.timedelta(days=1))


def _joined(years: Mapping[int, DailySeries]) -> DailySeries:
    """One series from the first reading to the last; NaN in between where a year is missing."""
    if not years:
        return DailySeries(dt.date(1970, 1, 1), np.empty(0), np.empty(0))
    start, end = dt.date(min(years), 1, 1), dt.date(max(years), 12, 31)
    tmin_c, tmax_c = np.full((2, (end - start).days + 1), np.nan)
    for series in years.values():
        at = (series.first_day - start).days
        tmin_c[at : at + len(series)] = series.tmin_c
        tmax_c[at : at + len(series)] = series.tmax_c
    return _trimmed(DailySeries(start, tmin_c, tmax_c))


def _trimmed(series: DailySeries) -> DailySeries:
    read = np.flatnonzero(~(np.isnan(series.tmin_c) & np.isnan(series.tmax_c)))
    if not read.size:
        return series.cut(series.first_day - dt.timedelta(days=1))
    kept = slice(int(read[0]), int(read[-1]) + 1)
    first = series.first_day + dt.timedelta(days=int(read[0]))
    return DailySeries(first, series.tmin_c[kept], series.tmax_c[kept])
