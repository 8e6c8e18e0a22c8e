"""How cold a night and how hot a day each kind of tree bears: the rows of `floors.toml`."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Self

from pydantic import Field, model_validator

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import packaged
from season_engine.tables.known import Known, Table
from season_engine.tree import Size

if TYPE_CHECKING:
    from season_engine.species.catalogue import Species


class Floor(Known):
    """What trees of some kinds bear [degC, by screen air]; `floors.toml` says what each key means."""

    groups: tuple[str, ...] = ()
    species: tuple[str, ...] = ()  # botanical names
    floor_c: float = Field(ge=-40, le=20)
    small_floor_c: float | None = Field(default=None, ge=-40, le=20)
    ceiling_c: float = Field(ge=25, le=50)
    hardens: bool = True
    fleshy_roots: bool = False
    wakes_early: bool = False
    roots_killed_c: float | None = Field(default=None, ge=-40, le=0)
    certainty: int = Field(ge=50, le=99)

    @model_validator(mode="after")
    def _of_something(self) -> Self:
        if bool(self.groups) == bool(self.species):
            raise ValueError("a floor is of groups or of species")
        if self.roots_killed_c is not None and not self.source:
            raise ValueError("what killed roots needs its source")
        return self

    def of_size(self, size: Size) -> float:
        """The coldest night that a tree of that size bears at rest."""
        if size == "small" and self.small_floor_c is not None:
            return self.small_floor_c
        return self.floor_c


class _FloorsFile(Table):
    floor: tuple[Floor, ...] = Field(min_length=1)


@cache
def floors() -> tuple[Floor, ...]:
    """The rows that come with the package."""
    return checked(packaged("species/floors.toml"), _FloorsFile).floor


def floor_of(species: Species) -> Floor | None:
    """A species' own row, else its group's; None for a group of the grower's own."""
    own = (row for row in floors() if species.name in row.species)
    of_group = (row for row in floors() if species.group in row.groups)
    return next(own, None) or next(of_group, None)
