"""sites.csv and events.csv of a backtest: where stations are, and when dated events came there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from season_engine.errors import GrowerError
from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.foreign_values import decimal_number, whole_number
from season_engine.files.packed import Readable
from season_engine.files.text import closest, shortened
from season_engine.note import Sighting as SightingWord
from season_engine.phenology.stages import season_of
from season_engine.site import Site

SITE_COLUMNS = ("site", "latitude", "longitude", "elevation")
EVENT_COLUMNS = ("site", "species", "bbch", "date")
NOTE_COLUMNS = ("sighting", "tree")  # which events.csv of a yard's notes has as well
HIGHEST_M, LOWEST_M = 9000.0, -450.0  # no ground is higher or lower
LAST_STAGE = 99


@dataclass(frozen=True, slots=True, order=True)
class Event:
    """A stage of a species, such as its first flowers (BBCH 61)."""

    species: str
    bbch: int


@dataclass(frozen=True, slots=True)
class Sighting:
    """One event seen at one site on one day."""

    event: Event
    site: str
    date: dt.date
    line: int
    tree: str = ""  # which of a yard's; empty: of none in particular


@dataclass(frozen=True, slots=True)
class UnlistedSites:
    """Lines of a file are left out, since the list of sites doesn't hold their sites."""

    file: Readable
    lines: int
    sites: tuple[str, ...]  # as they are written, in order
    meant: str | None = None  # the listed site that a single one is most like


@dataclass(frozen=True, slots=True)
class Undated:
    """Lines of a file tell of stages not there yet, or there already: they date nothing."""

    file: Readable
    lines: int


def read_sites(path: Readable) -> dict[str, Site]:
    """Sites by name; raises GrowerError, or InputErrors with every fault of the file."""
    sheet = Sheet(path, SITE_COLUMNS, SITE_COLUMNS[:3])
    sites: dict[str, Site] = {}
    lines: dict[str, int] = {}
    for row in sheet:
        name = row.needed("site")
        first = lines.setdefault(name.casefold(), row.line)
        if name and first != row.line:
            row.fault("site", f'The site "{shortened(name)}" is on line {first} already.')
        latitude, longitude = _number(row, "latitude", -90, 90), _number(row, "longitude", -180, 180)
        elevation = _number(row, "elevation", LOWEST_M, HIGHEST_M) if row.words("elevation") else None
        sites[name] = Site(name, latitude, longitude, elevation)
    if not sites:
        sheet.fault(1, "There is a header but no site.")
    sheet.finish()
    return sites


def site_fault(path: Readable, site: Site, column: str, problem: str, hint: str) -> GrowerError:
    """An error in what a sites.csv that was read says of a site, with its line."""
    rows = Sheet(path, SITE_COLUMNS, SITE_COLUMNS[:3])
    line = next((row.line for row in rows if row.words("site") == site.name), None)
    return GrowerError(problem, hint=hint, file=path, line=line, field=column)


def read_events(
    path: Readable, sites: Mapping[str, Site]
) -> tuple[list[Sighting], tuple[UnlistedSites | Undated, ...]]:
    """What was seen at the sites, and what is about others or dates nothing.

    Raises GrowerError, or InputErrors with every fault of the file; an event can come once a season, unless
    a column says on which tree: then the first date of each tree is taken.
    """
    sheet = Sheet(path, (*EVENT_COLUMNS, *NOTE_COLUMNS), EVENT_COLUMNS)
    spelt = {name.casefold(): name for name in sites}
    species: dict[str, str] = {}
    seen: dict[tuple[Event, str, int, str], Sighting] = {}
    elsewhere: list[str] = []
    undated = 0
    for row in sheet:
        name, kind = row.needed("site"), row.needed("species")
        date = row.day("date", whole=True) if row.needed("date") else None
        event = Event(species.setdefault(kind.casefold(), kind), _stage(row))
        sighting = row.one_of("sighting", get_args(SightingWord)) or "seen"
        if name.casefold() not in spelt:
            elsewhere += [name] if name else []
        elif sighting != "seen":
            undated += 1
        elif date is not None:
            found = Sighting(event, spelt[name.casefold()], date, row.line, row.words("tree"))
            _note_down(row, found, sites, seen, by_tree="tree" in sheet.header)
    if not seen:
        sheet.fault(1, "There is no event of any site in sites.csv.")
    sheet.finish()
    left_out = unlisted(path, elsewhere, spelt.values()), Undated(path, undated) if undated else None
    return list(seen.values()), tuple(one for one in left_out if one)


def unlisted(path: Readable, names: Sequence[str], known: Iterable[str]) -> UnlistedSites | None:
    """The lines left out, given the names of their sites, one a line; None where there is none."""
    if not names:
        return None
    unknown = tuple(sorted(set(names)))
    meant = closest(unknown[0], known) if len(unknown) == 1 else None
    return UnlistedSites(path, len(names), unknown, meant)


def _note_down(
    row: Row,
    sighting: Sighting,
    sites: Mapping[str, Site],
    seen: dict[tuple[Event, str, int, str], Sighting],
    *,
    by_tree: bool,
) -> None:
    season = season_of(sites[sighting.site], sighting.date, sighting.event.bbch)
    key = sighting.event, sighting.site, season.year, sighting.tree
    first = seen.setdefault(key, sighting)
    if by_tree:
        seen[key] = min(first, sighting, key=lambda one: one.date)
    elif first is not sighting:
        problem = f"This event has a date in the season {season.label} already, on line {first.line}."
        row.fault("date", problem, "Keep the one that is right.")


def _stage(row: Row) -> int:
    value = row.needed("bbch")
    if (stage := whole_number(value, 0, LAST_STAGE)) is not None:
        return stage
    if value:
        row.fault("bbch", f'bbch must be a whole number from 0 to {LAST_STAGE}; got "{shortened(value)}".')
    return 0


def _number(row: Row, column: str, low: float, high: float) -> float:
    value = row.needed(column)
    number = decimal_number(value)
    if number is not None and low <= number <= high:
        return number
    if value:
        row.fault(column, f'{column} must be a number from {low:g} to {high:g}; got "{shortened(value)}".')
    return 0.0
