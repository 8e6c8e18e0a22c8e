"""The jobs a grower does on a tree: one table of `jobs.toml` a job, whatever the species."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import resources
from typing import Literal

from pydantic import Field

from season_engine.errors import GrowerError
from season_engine.facts import NO_TEXT
from season_engine.files.text import did_you_mean, shortened
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.tables.known import Table
from season_engine.tables.texts import Name, WrittenText
from season_engine.tree import Origin

Rank = Literal["bench", "round"]
# What can hurt whoever does a job, in the order it is told.
CautionKind = Literal[
    "wild trees",
    "lifting",
    "dust",
    "blades",
    "knife",
    "power tools",
    "lime sulphur",
    "sprays",
    "wire",
    "poison",
    "skin",
    "heat",
]


class Job(Table):
    """How sure a job wants to be, and what to mind while doing it; `jobs.toml` says what each key means."""

    words: Name = Field(min_length=1)
    floor: float = Field(ge=0.5, le=0.95)
    floor_sheltered: float | None = Field(default=None, ge=0.5, le=0.95)
    heavy: bool = False
    followed_by: tuple[str, ...] = ()
    cautions: tuple[CautionKind, ...] = ()
    rank: Rank = "bench"
    new_tree: bool = False
    origins: tuple[Origin, ...] = ()  # empty: for all
    note: WrittenText = NO_TEXT
    cuts: bool = True
    noted_as: tuple[Name, ...] = ()

    def floor_for(self, *, sheltered: bool) -> float:
        """The odds wanted for a tree that can, or can't, go under cover."""
        return self.floor_sheltered if sheltered and self.floor_sheltered is not None else self.floor

    @property
    def told_in_full(self) -> bool:
        """Whether a report gives it a place of its own, rather than a few words among the week's care."""
        return self.rank == "bench" and not self.new_tree


class _JobsFile(Table):
    job: dict[str, Job] = Field(min_length=1)


def jobs_in(toml: TomlText) -> Mapping[str, Job]:
    """The jobs of a file by their names, in its order; raises InputErrors with all that is wrong in it."""
    return checked(toml, _JobsFile).job


def _shipped() -> TomlText:
    file = resources.files("season_engine.species") / "jobs.toml"
    return TomlText("species/jobs.toml", file.read_text(encoding="utf-8"))


JOBS: Mapping[str, Job] = jobs_in(_shipped())


def job_named(name: str) -> str:
    """The job of that name, spaces and underscores doing for hyphens; raises GrowerError."""
    job = "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
    if job not in JOBS:
        hint = did_you_mean(job, JOBS) or f"The jobs are {', '.join(JOBS)}."
        raise GrowerError(f'There is no job "{shortened(name)}".', hint=hint, field="job")
    return job
