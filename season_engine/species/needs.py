"""Which jobs are due on a tree by its stage, and which are left: the rows of `needs.toml`."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import packaged
from season_engine.species.schema import JobName
from season_engine.species.spacing import OfTrees
from season_engine.tables.known import Table
from season_engine.tree import Stage, Vigour

if TYPE_CHECKING:
    from season_engine.species.catalogue import Species

NeedState = Literal["due", "may", "leave"]


class StageNeed(OfTrees):
    """What some jobs are on trees of a kind, at some stages."""

    jobs: tuple[JobName, ...] = Field(min_length=1)
    state: NeedState


class _NeedsFile(Table):
    need: tuple[StageNeed, ...] = Field(min_length=1)


@cache
def stage_needs() -> tuple[StageNeed, ...]:
    """The rows that come with the package."""
    return checked(packaged("species/needs.toml"), _NeedsFile).need


def state_by_stage(job: str, species: Species, stage: Stage, vigour: Vigour) -> NeedState:
    """What a job is on such a tree; what no row speaks of may be done."""
    rows = (row for row in stage_needs() if job in row.jobs and row.is_for(species, stage, vigour))
    return next((row.state for row in rows), "may")
