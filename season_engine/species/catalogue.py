"""Reading the catalogue and finding a species in it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from graphlib import CycleError, TopologicalSorter
from importlib import resources

from pydantic import ValidationError

from season_engine.errors import GrowerError
from season_engine.species.schema import DaysAfter, GroupFile, Marker, SpeciesTable, Window

LEAST_LIKENESS = 70  # of a hundred, for a name to be offered
EQUALLY_LIKE = 5


@dataclass(frozen=True)
class Species:
    """A species with the markers and windows it inherits from its group."""

    name: str  # botanical
    group: str
    common: tuple[str, ...]
    synonyms: tuple[str, ...]
    markers: Mapping[str, Marker]  # each after the markers it depends on
    windows: tuple[Window, ...]
    file: str
    note: str = ""

    @property
    def jobs(self) -> tuple[str, ...]:
        """The jobs it has windows for, each once."""
        return tuple(dict.fromkeys(window.job for window in self.windows))

    @property
    def names(self) -> tuple[str, ...]:
        """Every name it may be asked for by."""
        return (self.name, *self.common, *self.synonyms)

    def is_called(self, name: str) -> bool:
        """Whether it goes by that name, however spelt in case, spaces and hyphens."""
        return _plain(name) in {_plain(one) for one in self.names}


class Catalogue:
    """All species, found by any of their names."""

    def __init__(self, species: Iterable[Species]) -> None:
        self.species = {one.name: one for one in species}
        self._by_name = {_plain(name): one for one in self.species.values() for name in one.names}

    def get(self, name: str) -> Species | None:
        """The species of that botanical or common name, or None."""
        return self._by_name.get(_plain(name))

    def find(self, name: str) -> Species:
        """The species of that name; an unknown one is an error that suggests what may be meant."""
        if found := self.get(name):
            return found
        from rapidfuzz import process  # only a misspelt name pays for this import

        near = process.extract(_plain(name), self._by_name.keys(), limit=3, score_cutoff=LEAST_LIKENESS)
        as_near = (key for key, likeness, _ in near if likeness >= near[0][1] - EQUALLY_LIKE)
        meant = list(dict.fromkeys(self._by_name[key].name for key in as_near))
        hint = (
            f"Did you mean {' or '.join(meant)}?" if meant else f"It holds {', '.join(sorted(self.species))}."
        )
        raise GrowerError(f'the catalogue has no species "{name}".', hint=hint)


@cache
def load_catalogue() -> Catalogue:
    """The catalogue that comes with the package."""
    folder = resources.files("season_engine.species") / "groups"
    files = sorted(
        (file for file in folder.iterdir() if file.name.endswith(".toml")), key=lambda file: file.name
    )
    return Catalogue(one for file in files for one in read_group(file.read_text(encoding="utf-8"), file.name))


def read_group(text: str, file: str) -> list[Species]:
    """Species of one group file; anything wrong in it is an error naming the file and the field."""
    try:
        group = GroupFile.model_validate(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise GrowerError(f"not valid TOML: {error}.", file=file) from error
    except ValidationError as error:
        first = error.errors()[0]
        field = ".".join(str(part) for part in first["loc"])
        raise GrowerError(f"{first['msg']}.", file=file, field=field) from error
    return [_species(name, table, group, file) for name, table in group.species.items()]


def _species(name: str, table: SpeciesTable, group: GroupFile, file: str) -> Species:
    markers = {**group.marker, **table.marker}
    for window in group.window:
        for marker in (*window.opens, *window.closes):
            if marker not in markers:
                raise GrowerError(
                    f'window "{window.job}, {window.name}" names a marker "{marker}" that does not exist.',
                    file=file,
                    field=f"species.{name}",
                )
    ordered = _in_order(markers, file, name)
    _refuse_impossible_orders(group.window, markers, file)
    return Species(name, group.group, table.common, table.synonyms, ordered, group.window, file, table.note)


def depends_on(marker: Marker) -> tuple[str, ...]:
    """Names of the markers that this one is counted from or until."""
    names = (getattr(marker, "after", None), getattr(marker, "until", None))
    return tuple(name for name in names if name)


def _refuse_impossible_orders(windows: Iterable[Window], markers: Mapping[str, Marker], file: str) -> None:
    """A window can't be closed by what must have happened before it opens."""
    for window in windows:
        before = {name for opening in window.opens for name in _always_before(opening, markers)}
        for closing in window.closes:
            if closing in before or closing in window.opens:
                what = f'window "{window.job}, {window.name}" is closed by "{closing}"'
                raise GrowerError(f"{what}, which comes before it opens.", file=file)


def _always_before(name: str, markers: Mapping[str, Marker]) -> Iterable[str]:
    """The markers that one is counted from, and those in turn; none beyond a count of days backwards."""
    marker = markers[name]
    after = getattr(marker, "after", None)
    if after and not (isinstance(marker, DaysAfter) and marker.days < 0):
        yield after
        yield from _always_before(after, markers)


def _in_order(markers: Mapping[str, Marker], file: str, species: str) -> dict[str, Marker]:
    graph = {name: depends_on(marker) for name, marker in markers.items()}
    for name, needed in graph.items():
        for other in needed:
            if other not in markers:
                raise GrowerError(
                    f'marker "{name}" is counted from "{other}", which does not exist.',
                    file=file,
                    field=f"species.{species}",
                )
    try:
        return {name: markers[name] for name in TopologicalSorter(graph).static_order()}
    except CycleError as error:
        loop = " -> ".join(error.args[1])
        raise GrowerError(
            f"markers depend on each other in a loop: {loop}.", file=file, field=species
        ) from error


def _plain(name: str) -> str:
    return " ".join(name.replace("_", " ").replace("-", " ").casefold().split())
