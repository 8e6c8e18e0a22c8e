"""What a job on a tree asks for in the weeks and years after it: one row of `follow_ups.toml` each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText, packaged
from season_engine.note import LAST_STAGE, Amount
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.kinds import KindName, is_one_of
from season_engine.species.schema import JobName
from season_engine.tables.known import Known, Table
from season_engine.tables.texts import WrittenText
from season_engine.tree import Origin, Tree

ARRIVAL = "arrival"  # what a follow-up follows beside the jobs
OnTree = Literal["wire", "ties"]
Days = tuple[Annotated[int, Field(ge=0)], Annotated[int, Field(ge=0)]]  # first, last
BbchCode = Annotated[int, Field(ge=0, le=LAST_STAGE)]


def _known_start(name: str) -> str:
    if name != ARRIVAL and name not in JOBS:
        raise ValueError(f'"{name}" is neither a job nor "{ARRIVAL}"')
    return name


Start = Annotated[str, AfterValidator(_known_start)]


class _Certain(Known):
    certainty: int = Field(ge=1, le=100)  # per cent


class Row(_Certain):
    """One thing to be done after a job; `follow_ups.toml` says what each key means."""

    after: tuple[Start, ...] = Field(min_length=1)
    kinds: tuple[KindName, ...] = ()
    but: tuple[KindName, ...] = ()
    origins: tuple[Origin, ...] = ()
    but_origins: tuple[Origin, ...] = ()
    amounts: tuple[Amount, ...] = ()
    from_days: int = Field(ge=0)
    to_days: int = Field(ge=0)
    once: tuple[str, ...] = ()
    ends_with: OnTree | None = None
    stays: bool = False
    lasts: bool = False
    answered_by: tuple[JobName, ...] = ()
    seen: tuple[BbchCode, BbchCode] | None = None
    words: WrittenText = Field(min_length=3)

    @model_validator(mode="after")
    def _ends(self) -> Self:
        if self.to_days < self.from_days:
            raise ValueError("to_days is before from_days")
        if self.stays and self.ends_with is None:
            raise ValueError("what stays needs ends_with")
        return self

    def is_for(self, tree: Tree, species: Species) -> bool:
        """Whether it is for such a tree."""
        came = "collected" if tree.collected else tree.origin
        return (
            is_one_of(species, self.kinds)
            and not (self.but and is_one_of(species, self.but))
            and (not self.origins or came in self.origins)
            and came not in self.but_origins
        )


class Flush(_Certain):
    """When branches thicken fast: between two markers, else on so many days around midsummer."""

    starts: tuple[str, ...] = Field(min_length=1)  # the first of them that the species has
    hardens: tuple[str, ...] = Field(min_length=1)
    longest_days: int = Field(ge=0, le=180)


class WireLook(_Certain):
    """How often wire is looked at: so many days after the last look, at least and at most."""

    in_flush_days: Days
    else_days: Days
    words: WrittenText = Field(min_length=3)

    @model_validator(mode="after")
    def _goes_on(self) -> Self:
        for first, last in (self.in_flush_days, self.else_days):
            if not 1 <= first <= last:
                raise ValueError("the days between looks go from at least one upwards")
        return self


class FollowUpTable(Table):
    """All that is done after jobs."""

    flush: Flush
    wire_look: WireLook
    row: tuple[Row, ...] = Field(min_length=1)

    def rows_for(self, tree: Tree, species: Species) -> Iterator[Row]:
        """The rows for such a tree."""
        return (row for row in self.row if row.is_for(tree, species))


def follow_ups_in(toml: TomlText) -> FollowUpTable:
    """The table of a file; raises InputErrors with all that is wrong in it."""
    return checked(toml, FollowUpTable)


FOLLOW_UPS = follow_ups_in(packaged("species/follow_ups.toml"))
