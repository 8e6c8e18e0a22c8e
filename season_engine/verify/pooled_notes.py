"""Dates of many yards and stations pooled: several files, species by the catalogue's names, no yard twice."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from season_engine.errors import GrowerError, InputErrors
from season_engine.files.foreign_values import LAST_YEAR
from season_engine.files.packed import Readable, folder_or_zip
from season_engine.phenology.seasons import whole_seasons
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Site
from season_engine.species.catalogue import Catalogue
from season_engine.verify.backtest import known_until
from season_engine.verify.notes import BacktestNote
from season_engine.verify.observations import Observations, read_observations
from season_engine.verify.station_files import Event
from season_engine.weather.series import DailySeries

SITES, EVENTS, WEATHER = "sites.csv", "events.csv", ("weather.csv", "weather.csv.gz")
# Two files are of one yard where so much of the smaller one is in the other: dates, days alike to a tenth.
SHARED_DATES, SHARED_DAYS, ALIKE_C = 0.5, 0.9, 0.051


@dataclass(frozen=True, slots=True)
class OfFile:
    """What was left out of one file when it was read."""

    file: Path
    note: BacktestNote


@dataclass(frozen=True, slots=True)
class NotInCatalogue:
    """Dates of a species that the catalogue doesn't have are left out."""

    file: Path
    species: str
    dates: int


@dataclass(frozen=True, slots=True)
class OutsideWeather:
    """Dates are left out, as the file doesn't have the whole of their season's temperatures."""

    file: Path
    dates: int


@dataclass(frozen=True, slots=True)
class SameYard:
    """A yard is left out, as it is one of another file, which holds as much or more of it."""

    yard: str
    kept: str


PoolNote = OfFile | NotInCatalogue | OutsideWeather | SameYard


@dataclass(frozen=True)
class Yard:
    """One place of a file; its name tells the file too."""

    name: str
    file: Path
    site: Site
    series: DailySeries
    dates: Mapping[Event, Mapping[int, float]]  # season's first year -> day of the season

    @property
    def keys(self) -> set[tuple[Event, int, float]]:
        """All its dates."""
        return {(event, year, day) for event, days in self.dates.items() for year, day in days.items()}


@dataclass(frozen=True)
class Pool:
    """The dates of each event that have whole temperatures, and what was left out."""

    records: Mapping[Event, tuple[StationRecord, ...]]
    yards: int
    notes: tuple[PoolNote, ...]


def pooled(files: Sequence[Path], catalogue: Catalogue, train_until: int | None = None) -> Pool:
    """Read exports, folders or .zip, with seasons that had ended by a year (None: all).

    Raises InputErrors with the faults of all files, GrowerError where no date is left.
    """
    notes: list[PoolNote] = []
    yards: list[Yard] = []
    faults: list[GrowerError] = []
    for file in dict.fromkeys(files):
        try:
            yards += _yards(file, read_export(file, train_until), catalogue, notes)
        except InputErrors as errors:
            faults += errors.errors
        except GrowerError as error:
            faults.append(error)
    if faults:
        raise InputErrors(faults)
    yards = _each_once(yards, notes)
    records: defaultdict[Event, list[StationRecord]] = defaultdict(list)
    outside: defaultdict[Path, int] = defaultdict(int)
    for yard in yards:
        for event, record in _records(yard, train_until):
            whole = {season.year for season in whole_seasons(record)}
            inside = {year: day for year, day in record.observed.items() if year in whole}
            outside[yard.file] += len(record.observed) - len(inside)
            if inside:
                records[event].append(replace(record, observed=inside))
    notes += [OutsideWeather(file, dates) for file, dates in outside.items() if dates]
    return Pool({event: tuple(found) for event, found in sorted(records.items())}, len(yards), tuple(notes))


def read_export(file: Path, train_until: int | None = None) -> Observations:
    """The dates and temperatures of one export; all that it has is mended together up to that year."""
    root = folder_or_zip(file, SITES)
    weather: list[Readable] = [one for name in WEATHER if (one := root / name).exists()]
    until = LAST_YEAR if train_until is None else train_until
    return read_observations(
        root / SITES, (weather or [root / WEATHER[0]])[0], root / EVENTS, until, fewest_seasons=1
    )


def _yards(file: Path, read: Observations, catalogue: Catalogue, notes: list[PoolNote]) -> list[Yard]:
    """The places of a file, species by their botanical names."""
    notes += [OfFile(file, note) for note in read.notes]
    places: dict[str, StationRecord] = {}
    days: defaultdict[str, defaultdict[Event, defaultdict[int, list[float]]]] = defaultdict(
        lambda: defaultdict(lambda: defaultdict(list))
    )
    unknown: defaultdict[str, int] = defaultdict(int)
    for event, records in read.records.items():
        species = catalogue.get(event.species)
        for record in records:
            if species is None:
                unknown[event.species] += len(record.observed)
                continue
            places[record.site.name] = record
            for year, day in record.observed.items():
                days[record.site.name][Event(species.name, event.bbch)][year].append(day)
    notes += [NotInCatalogue(file, name, dates) for name, dates in unknown.items()]
    return [
        Yard(
            f"{name} ({file.name})",
            file,
            record.site,
            record.series,
            {
                event: {year: float(np.median(found)) for year, found in by_year.items()}
                for event, by_year in days[name].items()
            },
        )
        for name, record in places.items()
    ]


def _records(yard: Yard, train_until: int | None) -> Iterator[tuple[Event, StationRecord]]:
    site = replace(yard.site, name=yard.name)
    for event, observed in yard.dates.items():
        record = StationRecord(site, yard.series, observed)
        known = [record] if train_until is None else known_until([record], train_until)
        yield from ((event, one) for one in known)


def _each_once(yards: Sequence[Yard], notes: list[PoolNote]) -> list[Yard]:
    """A yard that is in two files is taken from the one with more of its dates."""
    at: defaultdict[tuple[float, float, float | None], list[Yard]] = defaultdict(list)
    left = set()
    for place, yard in sorted(enumerate(yards), key=lambda one: -len(one[1].keys)):
        site = yard.site
        kept = at[site.latitude, site.longitude, site.elevation_m]
        same = next((one for one in kept if one.file != yard.file and _one_yard(one, yard)), None)
        if same is None:
            kept.append(yard)
        else:
            left.add(place)
            notes.append(SameYard(yard.name, same.name))
    return [yard for place, yard in enumerate(yards) if place not in left]


def _one_yard(larger: Yard, smaller: Yard) -> bool:
    """Neighbours may go by one station, so that weather alone proves nothing; their trees differ by days."""
    if len(smaller.keys & larger.keys) < SHARED_DATES * len(smaller.keys):
        return False
    first = max(larger.series.first_day, smaller.series.first_day)
    last = min(larger.series.last_day, smaller.series.last_day)
    if first > last:
        return False
    low, high = (_between(larger.series, first, last) - _between(smaller.series, first, last)).T
    return bool(np.mean((np.abs(low) < ALIKE_C) & (np.abs(high) < ALIKE_C)) >= SHARED_DAYS)


def _between(series: DailySeries, first: dt.date, last: dt.date) -> np.ndarray:
    """Both extremes of these days, shape (days, 2)."""
    days = slice((first - series.first_day).days, (last - series.first_day).days + 1)
    return np.stack([series.tmin_c[days], series.tmax_c[days]], axis=-1)
