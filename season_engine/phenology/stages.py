"""Growth stages, and what those noted in a season say of its other stages: one tree has them in order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field, replace
from math import inf
from typing import Literal, NamedTuple

from season_engine.phenology.own_dates import NotedDate
from season_engine.site import Season, Site
from season_engine.species.catalogue import Species

BUD_STAGES = 10  # buds pass through the codes below this by the week, flowers and leaves through two in days
AUTUMN = range(90, 100)  # BBCH codes of the end of growth: leaves colour and fall
# Codes that a tree passes in order: shoots and leaves, flowers, the end of growth. Which of two rows comes
# first is another matter: an apricot flowers before its leaves.
ROWS = (range(50), range(50, 70), AUTUMN)

# When a bud comes to a code, in days from the first swelling: the first four are the means of 600 springs of
# trees in a forest (Harvard Forest, HF003; `tests/phenology/test_stages.py`), the others from memory.
DAYS_FROM_SWELLING = {1: 0.0, 2: 8.6, 3: 14.7, 7: 22.5, 9: 26.0, 10: 28.0, 11: 31.0, 15: 38.0}
STRAYS_A_DAY = 2.4  # variance of such an interval by its length, days: 5.0 over nine days, 7.3 over 22 there
FARTHEST_DAYS = 24.0  # for which one stage stands for another
CANDLES = "Pinus"  # whose candles keep other times


@dataclass(frozen=True, slots=True)
class StandIn:
    """The marker by which a stage is dated in past seasons, and how much later that comes."""

    marker: str
    later_days: float = 0.0
    variance: float = 0.0  # of that, days squared


@dataclass(frozen=True, slots=True)
class StageNote:
    """A stage seen, or looked for and not seen yet, in one season."""

    season: int  # its first year
    column: int  # day in the trace
    bbch: int
    seen: bool = True
    earlier: bool = False  # seen, but it had come at some day before
    tree: str = ""  # its id; empty: of no tree in particular


@dataclass(frozen=True)
class KnownOfSeason:
    """What is known of a season's markers, by their names, as columns of its trace."""

    seen: Mapping[str, int] = field(default_factory=dict)
    not_yet: Mapping[str, int] = field(default_factory=dict)  # the last on which it had not come
    already: Mapping[str, int] = field(default_factory=dict)  # the first by which it had
    about: Mapping[str, NotedDate] = field(default_factory=dict)  # by a stage some days before or after it


class _Told(NamedTuple):
    """What a note tells of one marker."""

    of: Literal["seen", "near", "not_yet", "already"]  # "near": a stage that it stands for was seen
    marker: str
    column: int


def season_of(site: Site, date: dt.date, bbch: int) -> Season:
    """The season a stage seen on a day belongs to: one of autumn to the season that autumn leads into.

    That is from three months before the season's start on, 1 July in the north.
    """
    season = site.season_on(date)
    next_one = season.shifted(1)
    return next_one if bbch in AUTUMN and date >= next_one.first_trace_day else season


def stage_marker(species: Species, bbch: int) -> str | None:
    """The marker that stands for a growth stage, or the nearest to it; None where none is near."""
    staged = _staged(species)
    near = sorted((abs(stage - bbch), name) for name, stage in staged.items())
    if not near:
        return None
    apart, name = near[0]
    return name if apart <= (1 if min(bbch, staged[name]) < BUD_STAGES else 2) else None


def stand_in(species: Species, bbch: int) -> StandIn | None:
    """What a stage is held against: its own marker, or one that buds usually come to so many days apart."""
    near = stage_marker(species, bbch)
    if bbch in _staged(species).values() or not (timed := _timed(species, bbch)):
        return StandIn(near) if near else None
    return min(timed, key=lambda one: one.variance)


def known_of_season(species: Species, notes: Iterable[StageNote]) -> KnownOfSeason:
    """What a season's notes say of its markers: of the stage noted, and of those before and after it.

    A stage that is there has all before it behind and all after it to come; one looked for in vain has all
    after it to come, and one that had come by a day all before it behind. Of several trees the first counts.
    """
    found: dict[str, dict[str, int]] = {"seen": {}, "near": {}, "not_yet": {}, "already": {}}
    notes = tuple(notes)
    for note in notes:
        for told in _told_by(species, note):
            columns = found[told.of]
            first_or_last = max if told.of == "not_yet" else min
            columns[told.marker] = first_or_last(columns.get(told.marker, told.column), told.column)
    seen, already, not_yet = found["seen"], found["already"], found["not_yet"]
    for name, column in found["near"].items():
        seen.setdefault(name, max(column, not_yet.get(name, column - 1) + 1))
    seen = {name: min(column, already.get(name, column)) for name, column in seen.items()}
    for name, column in [*seen.items(), *already.items()]:
        for before in _counted_from(species, name):
            already[before] = min(already.get(before, column), column)
    already = {name: column for name, column in already.items() if name not in seen}
    not_yet = {
        name: column
        for name, column in not_yet.items()
        if name not in seen and column < already.get(name, column + 1)
    }
    about = {
        name: replace(one, first=not_yet.get(name, -inf) + 1, last=already.get(name, inf))
        for name, one in _about(species, notes, seen).items()
    }
    return KnownOfSeason(seen, not_yet, already, about)


def _about(species: Species, notes: Iterable[StageNote], seen: Container[str]) -> dict[str, NotedDate]:
    """When markers come by stages seen near them, the nearest first, where that is surer than their rules.

    Of the markers about a stage only the nearest: the rule of the others, counted from that, errs less than
    so many days do (docs/evidence/buds.md).
    """
    found: dict[str, tuple[float, float]] = {}  # variance, column
    for note in notes:
        stands = stand_in(species, note.bbch) if note.seen and not note.earlier else None
        if stands is None or stands.marker in seen:
            continue
        if 0.0 < stands.variance < species.markers[stands.marker].sd_days ** 2:
            told = stands.variance, note.column + stands.later_days
            found[stands.marker] = min(told, found.get(stands.marker, told))
    return {name: NotedDate(column, variance**0.5) for name, (variance, column) in found.items()}


def markers_told(species: Species, note: StageNote) -> tuple[str, ...]:
    """The markers of which a note tells something in its own season."""
    return tuple(told.marker for told in _told_by(species, note))


def _told_by(species: Species, note: StageNote) -> Iterable[_Told]:
    noted = stage_marker(species, note.bbch)
    there = note.seen and not note.earlier
    timed = {one.marker for one in _timed(species, note.bbch)}
    for name, stage in _staged(species).items():
        if there and name == noted and (stage == note.bbch or name not in timed):
            yield _Told("seen" if stage == note.bbch else "near", name, note.column)
        elif not _in_one_row(stage, note.bbch):
            continue
        elif note.seen and stage <= note.bbch:
            yield _Told("already", name, note.column)
        elif (stage > note.bbch and there) or (stage >= note.bbch and not note.seen):
            yield _Told("not_yet", name, note.column)


def _counted_from(species: Species, name: str) -> Iterable[str]:
    """The markers that come before one on this species, whatever their stages: flowers before leaves."""
    before = species.markers[name].never_before
    if before is not None:
        yield before
        yield from _counted_from(species, before)


def _timed(species: Species, bbch: int) -> list[StandIn]:
    """The markers to which it is known how many days a bud takes from a stage, or took to it."""
    since = DAYS_FROM_SWELLING.get(bbch)
    if since is None or species.name.startswith(CANDLES):
        return []
    apart = {
        name: DAYS_FROM_SWELLING[stage] - since
        for name, stage in _staged(species).items()
        if stage in DAYS_FROM_SWELLING
    }
    return [
        StandIn(name, days, STRAYS_A_DAY * abs(days))
        for name, days in apart.items()
        if abs(days) <= FARTHEST_DAYS
    ]


def _in_one_row(*codes: int) -> bool:
    return any(all(code in row for code in codes) for row in ROWS)


def _staged(species: Species) -> dict[str, int]:
    return {name: marker.bbch for name, marker in species.markers.items() if marker.bbch is not None}
