"""Kinds of tree that rules speak of, across the catalogue's groups or within one: `kinds.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText, packaged
from season_engine.tables.known import Table

if TYPE_CHECKING:
    from season_engine.species.catalogue import Species


class Kind(Table):
    """The groups and the species of a kind."""

    groups: tuple[str, ...] = ()
    species: tuple[str, ...] = ()  # botanical names

    @model_validator(mode="after")
    def _of_something(self) -> Self:
        if not self.groups and not self.species:
            raise ValueError("a kind needs groups or species")
        return self


class _KindsFile(Table):
    kind: dict[str, Kind] = Field(min_length=1)


def kinds_in(toml: TomlText) -> Mapping[str, Kind]:
    """The kinds of a file by their names; raises InputErrors with all that is wrong in it."""
    return checked(toml, _KindsFile).kind


KINDS: Mapping[str, Kind] = kinds_in(packaged("species/kinds.toml"))


def is_kind(species: Species, kind: str) -> bool:
    """Whether a species is of a kind of `KINDS`; a name that is no kind is a KeyError."""
    found = KINDS[kind]
    return species.group in found.groups or species.name in found.species


def _known(kind: str) -> str:
    if kind not in KINDS:
        raise ValueError(f'"{kind}" is no kind of tree: they are {", ".join(KINDS)}')
    return kind


KindName = Annotated[str, AfterValidator(_known)]


def is_one_of(species: Species, kinds: tuple[str, ...]) -> bool:
    """Whether a species is of one of these kinds; none named means any."""
    return not kinds or any(is_kind(species, kind) for kind in kinds)
