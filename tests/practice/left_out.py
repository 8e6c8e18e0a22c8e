"""Growers' dates with one climate left out: each number set on the other climates, held against this one.

A number of the catalogue that rests on practice or memory is set anew on five climates, where dates of the
table hang on it, and the dates it then gives in the sixth are held against growers'. Kinds of rules, and
numbers that were published or fitted on stations, stay as they are: so this is what to expect of a place that
nobody looked at, as far as the rule is of the right kind.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import Marker
from season_engine.phenology.dating import SeasonDating
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.windows.assess import Prospect
from tests.practice.climates import CLIMATES, view
from tests.practice.ends import End, counted, ends_by, windows_of
from tests.practice.mapping import Moment, Stage, Windows, answer_to, size_of, species_of
from tests.practice.table import Row

FloatArray = NDArray[np.float64]
Number = tuple[str, str]  # the file a marker stands in, and its name there
# How far a number may be moved: its field, whether by a share of it, and the steps.
MOVES: Mapping[str, tuple[bool, FloatArray]] = {
    "need": (True, np.arange(0.5, 1.55, 0.05)),
    "share": (True, np.arange(0.5, 1.55, 0.05)),
    "level_c": (False, np.arange(-5.0, 5.25, 0.5)),
    "hours": (False, np.arange(-2.0, 2.05, 0.2)),
    "days": (False, np.arange(-35.0, 36.0, 3.5)),
}
OF_KIND = {"mean_above": "level_c", "mean_below": "level_c", "days_after": "days"}
SET_HERE = ("practice", "memory")


@dataclass(frozen=True)
class LeftOut:
    """An end by the catalogue as it is, and by a number that never saw its climate."""

    end: End
    error_days: int
    unseen_days: int


@dataclass(frozen=True)
class Better:
    """A number that would be nearer to growers' dates, over all climates."""

    file: str
    marker: str
    field: str
    value: float
    better: float
    ends: int
    error_days: float  # mean, weighed by how sure the table is
    better_days: float


def left_out(ends: Iterable[End]) -> list[LeftOut]:
    """Of every end that counts; those whose number can't be set elsewhere stay as they are."""
    by_number = ends_by_number(ends)
    found = [LeftOut(end, _error(end), _error(end)) for end in by_number.pop(None, [])]
    for number, those in by_number.items():
        found += _with_each_left_out(number, those)
    return found


def better_numbers(ends: Iterable[End], by_days: float = 1.0) -> Iterator[Better]:
    """Those that would bring their ends nearer by so many days on average, the most first."""
    found = []
    for number, those in ends_by_number(ends).items():
        if number is None:
            continue
        moves, errors, weights = _tried(number, those)
        misfit = (np.abs(errors) * weights).sum(axis=1) / weights.sum()
        now, best = _nearest(moves), int(np.argmin(misfit + 1e-3 * np.abs(moves - _unmoved(moves))))
        if misfit[now] - misfit[best] >= by_days:
            marker = species_in(those[0].row).markers[number[1]]
            value = float(getattr(marker, _field(marker)))
            better = value * moves[best] if _unmoved(moves) else value + moves[best]
            days = float(misfit[now]), float(misfit[best])
            found.append(Better(*number, _field(marker), value, float(better), len(those), *days))
    yield from sorted(found, key=lambda one: (one.better_days - one.error_days) * one.ends)


def ends_by_number(ends: Iterable[End]) -> dict[Number | None, list[End]]:
    """Those that count, by the number they hang on; None where it isn't ours to set."""
    by_number: dict[Number | None, list[End]] = defaultdict(list)
    for end in counted(ends):
        by_number[number_behind(end.row, end.which)].append(end)
    return by_number


def _tried(number: Number, ends: Sequence[End]) -> tuple[FloatArray, FloatArray, FloatArray]:
    """The moves, the errors of the ends by each, shape (moves, ends), and the ends' weights."""
    moves = MOVES[_field(species_in(ends[0].row).markers[number[1]])][1]
    errors = np.array([_errors(number, float(move), ends) for move in moves], float)
    return moves, errors, np.array([end.row.certainty for end in ends], float)


def _nearest(moves: FloatArray) -> int:
    return int(np.argmin(np.abs(moves - _unmoved(moves))))


def _with_each_left_out(number: Number, ends: Sequence[End]) -> Iterator[LeftOut]:
    moves, errors, weights = _tried(number, ends)
    climates = np.array([end.row.climate for end in ends])
    for climate in dict.fromkeys(climates):
        seen, unseen = climates != climate, np.flatnonzero(climates == climate)
        best = _nearest(moves)
        if seen.any():
            misfit = (np.abs(errors[:, seen]) * weights[seen]).sum(axis=1)
            best = int(np.argmin(misfit + 1e-3 * np.abs(moves - _unmoved(moves))))
        for place in unseen:
            yield LeftOut(ends[place], _error(ends[place]), int(errors[best, place]))


def _unmoved(moves: FloatArray) -> float:
    return 1.0 if moves.min() > 0 else 0.0


def _field(marker: Marker) -> str:
    return OF_KIND.get(marker.kind) or next((name for name in MOVES if hasattr(marker, name)), "")


def _errors(number: Number, move: float, ends: Sequence[End]) -> list[float]:
    """Of each end with the number moved; half a year where it then has no date."""
    found: dict[Row, list[End]] = {}
    for row in {end.row: None for end in ends}:
        kind = _moved(species_in(row), number, move)
        answer = answer_to(row)
        assert answer is not None
        found[row] = ends_by(row, answer, Prospect(view(row.climate), kind, size_of(row)))
    return [next((_error(one) for one in found[end.row] if one.which == end.which), 182) for end in ends]


def _moved(species: Species, number: Number, move: float) -> Species:
    file, name = number
    marker = species.markers.get(name)
    if marker is None or species.files[name] != file:
        return species
    field = _field(marker)
    value = getattr(marker, field)
    moved = value * move if MOVES[field][0] else value + move
    changed = marker.model_copy(update={field: round(moved) if isinstance(value, int) else moved})
    return replace(species, markers={**species.markers, name: changed})


def number_behind(row: Row, which: str) -> Number | None:
    """The marker whose number an end hangs on in most climates; None where it isn't ours to set."""
    species = species_in(row)
    deciding = Counter(name for climate in CLIMATES if (name := _decides(row, which, climate)))
    for name, _ in deciding.most_common(1):
        marker = species.markers[name]
        if marker.provenance in SET_HERE and _field(marker):
            return species.files[name], name
    return None


@cache
def _decides(row: Row, which: str, climate: str) -> str | None:
    """The marker that sets an end in one climate."""
    species, answer = species_in(row), answer_to(row)
    past = past_of(species.name, climate)
    match answer:
        case Stage(marker):
            return marker
        case Moment(job, name, end):
            windows = windows_of(species, job, (name,))
            which = end
        case Windows(job, names):
            windows = windows_of(species, job, names)
        case _:
            return None
    if not windows:
        return None
    window = windows[0] if which == "opens" else windows[-1]
    middle = {name: float(past.odds(name).by(0.5)) for name in (*window.opens, *window.closes)}
    if which == "opens":
        return max(window.opens, key=lambda name: middle[name])
    opened = max(middle[name] for name in window.opens)
    after = [name for name in window.closes if middle[name] > opened]
    return min(after, key=lambda name: middle[name], default=None)


@cache
def past_of(species: str, climate: str) -> SeasonDating:
    """All whole past seasons in a climate of the table."""
    return Prospect(view(climate), load_catalogue().find(species)).past


def species_in(row: Row) -> Species:
    """The catalogue's species that answers a row."""
    return load_catalogue().find(species_of(row))


def _error(end: End) -> int:
    return 182 if end.error_days is None else end.error_days
