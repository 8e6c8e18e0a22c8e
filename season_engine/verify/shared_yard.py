"""What a yard's notes and seasons hold for others to fit rules on: no names, no place but roughly."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from season_engine.note import Note, Sighting, notes_until
from season_engine.site import Season, Site
from season_engine.species.catalogue import Catalogue
from season_engine.weather.fitness import MOST_FILLED_SHARE, season_coverage
from season_engine.weather.series import DailySeries, Weather
from season_engine.windows.noted import FIRST_STIRRING, RESTING

PLACE_DEGREES = 0.1
ELEVATION_M = 50


@dataclass(frozen=True, slots=True)
class SharedNote:
    """A growth stage of a species of the package's catalogue, as it was found on a day."""

    date: dt.date
    species: str  # botanical
    bbch: int
    sighting: Sighting
    tree: int | None = None  # a number of its own within the yard; None: of no tree in particular


@dataclass(frozen=True, slots=True)
class LeftBehind:
    """Notes of growth stages that don't go with the others, by why."""

    unknown_species: int = 0  # none of the package's catalogue: the name is the grower's own
    no_weather: int = 0  # their season has no readings, or too few


@dataclass(frozen=True)
class SharedYard:
    """One yard, as it may be given away."""

    site: Site  # named by a code, its place rounded
    notes: tuple[SharedNote, ...]  # in order
    seasons: tuple[Season, ...]  # those of the notes, in order
    weather: tuple[DailySeries, ...]  # of each season, as far as it has come: mended, to 0.1 degC
    left_behind: LeftBehind

    @property
    def trees(self) -> int:
        """How many trees are told apart."""
        return len({note.tree for note in self.notes} - {None})


def shared_yard(
    site: Site,
    weather: Weather,
    notes: Iterable[Note],
    on: dt.date,
    catalogues: Sequence[Catalogue],
    code: str,
) -> SharedYard:
    """A yard's stages known on a day, and the temperatures of their seasons up to then.

    Parameters
    ----------
    catalogues : the grower's, by which species are known, then that of the package, whose names are told.
    code : what the site is called.
    """
    staged = [note for note in notes_until(notes, on) if note.bbch is not None and note.site == site.name]
    staged.sort(key=lambda note: (note.date, note.line))
    numbers: dict[str, int] = {}
    known = [
        _shared(note, species, numbers) for note in staged if (species := _species(note.species, catalogues))
    ]
    noted = sorted({site.season_on(note.date).year for note in known})
    there = (Season(year, site.hemisphere) for year in noted)
    seasons = [season for season in there if _has_weather(season, weather, on)]
    kept = [note for note in known if site.season_on(note.date) in seasons]
    return SharedYard(
        Site(code, _rounded_latitude(site.latitude), _tenth(site.longitude), _height(site.elevation_m)),
        tuple(
            sorted(
                dict.fromkeys(kept),
                key=lambda one: (one.date, one.species, one.bbch, one.sighting, one.tree or 0),
            )
        ),
        tuple(seasons),
        tuple(_days(season, weather.series.cut(on)) for season in seasons),
        LeftBehind(len(staged) - len(known), len(known) - len(kept)),
    )


def _shared(note: Note, species: str, numbers: dict[str, int]) -> SharedNote:
    """A bud at rest has not begun to swell."""
    tree = numbers.setdefault(note.tree, len(numbers) + 1) if note.tree else None
    if note.bbch == RESTING:
        return SharedNote(note.date, species, FIRST_STIRRING, "not-yet", tree)
    return SharedNote(note.date, species, note.bbch or 0, note.sighting, tree)


def _species(name: str | None, catalogues: Sequence[Catalogue]) -> str | None:
    """The name that the last catalogue has for it: a grower's own words never pass."""
    for catalogue in catalogues:
        found = catalogue.get(name) if name else None
        name = found.name if found else None
    return name


def _has_weather(season: Season, weather: Weather, on: dt.date) -> bool:
    """Whether the season begins within the record, and at most a tenth of its days so far are filled."""
    last_day = min(season.shifted(1).start - dt.timedelta(days=1), weather.data_through, on)
    if not weather.series.first_day <= season.start <= last_day:
        return False
    return season_coverage(weather, season.start, last_day) >= 1.0 - MOST_FILLED_SHARE


def _days(season: Season, series: DailySeries) -> DailySeries:
    start = (season.start - series.first_day).days
    stop = (season.shifted(1).start - series.first_day).days
    low, high = (np.round(values[start:stop], 1) + 0.0 for values in (series.tmin_c, series.tmax_c))
    return DailySeries(season.start, low, high)


def _rounded_latitude(degrees: float) -> float:
    """Never across the equator, which turns the seasons round."""
    return -PLACE_DEGREES if -PLACE_DEGREES / 2 <= degrees < 0 else _tenth(degrees)


def _tenth(degrees: float) -> float:
    return round(degrees, 1) + 0.0  # no minus before nought


def _height(elevation_m: float | None) -> float | None:
    return None if elevation_m is None else float(ELEVATION_M * round(elevation_m / ELEVATION_M))
