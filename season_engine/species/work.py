"""What a job weighs on a tree: seasons that missing it costs, hours that it takes; `work.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from pydantic import Field

from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import packaged
from season_engine.species.schema import JobName
from season_engine.tables.known import Table
from season_engine.tree import Size, Stage

OTHERWISE_SEASONS = 0.25  # of a job without a row


class _Weighs(Table):
    missed: dict[Stage, float] = Field(min_length=4)
    hours: dict[Size, float] | None = None


class _WorkFile(Table):
    job: dict[JobName, _Weighs] = Field(min_length=1)


@cache
def _rows() -> Mapping[str, _Weighs]:
    return checked(packaged("species/work.toml"), _WorkFile).job


def seasons_lost(job: str, stage: Stage) -> float:
    """What missing a job this year costs such a tree, in seasons of its progress."""
    row = _rows().get(job)
    return OTHERWISE_SEASONS if row is None else row.missed[stage]


def hours_of(job: str, size: Size) -> float | None:
    """Hours of a practised person for it; None where nobody said."""
    row = _rows().get(job)
    return None if row is None or row.hours is None else row.hours[size]
