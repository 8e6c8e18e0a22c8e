"""The jobs a grower does on a tree: one table of `jobs.toml` a job, whatever the species."""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Literal

from pydantic import Field

from season_engine.errors import GrowerError
from season_engine.facts import NO_TEXT
from season_engine.files.spelling import Tokens, tokens_of
from season_engine.files.text import did_you_mean, listed, shortened
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText, packaged
from season_engine.note import Amount
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
    amount: Amount = "light"
    varies: bool = False
    helps: bool = False
    roots: bool = False
    cautions: tuple[CautionKind, ...] = ()
    rank: Rank = "bench"
    new_tree: bool = False
    origins: tuple[Origin, ...] = ()  # empty: for all
    note: WrittenText = NO_TEXT
    cuts: bool = True
    out_of_pot: bool = False
    noted_as: tuple[Name, ...] = ()
    called: tuple[Name, ...] = ()

    def floor_for(self, *, sheltered: bool) -> float:
        """The odds wanted for a tree that can, or can't, go under cover."""
        return self.floor_sheltered if sheltered and self.floor_sheltered is not None else self.floor

    @property
    def heavy(self) -> bool:
        """Whether it takes much of a tree's strength as a rule."""
        return self.amount == "heavy"

    @property
    def told_in_full(self) -> bool:
        """Whether a report gives it a place of its own, rather than a few words among the week's care."""
        return self.rank == "bench" and not self.new_tree


class _JobsFile(Table):
    job: dict[str, Job] = Field(min_length=1)


def jobs_in(toml: TomlText) -> Mapping[str, Job]:
    """The jobs of a file by their names, in its order; raises InputErrors with all that is wrong in it."""
    return checked(toml, _JobsFile).job


JOBS: Mapping[str, Job] = jobs_in(packaged("species/jobs.toml"))


def _by_words() -> dict[Tokens, tuple[str, ...]]:
    """The jobs that each name and each plain word may mean, the one of that very name first."""
    found: dict[Tokens, dict[str, None]] = {}
    for words in (lambda name: (name,), lambda name: JOBS[name].noted_as, lambda name: JOBS[name].called):
        for name in JOBS:
            for phrase in words(name):
                found.setdefault(tokens_of(phrase), {})[name] = None
    return {phrase: tuple(jobs) for phrase, jobs in found.items()}


JOB_WORDS: Mapping[Tokens, tuple[str, ...]] = _by_words()


def the_job(words: Tokens, done_here: Container[str] | None = None) -> str:
    """The job that these words of `JOB_WORDS` mean; raises GrowerError, naming them, where it may be several.

    `done_here`: the jobs of the species it is about, if that is known.
    """
    first, *others = _meant_by(words, done_here)
    if others:
        problem = f'"{shortened(" ".join(words))}" could be {listed([first, *others])}.'
        raise GrowerError(problem, hint="Say which.", field="job")
    return first


def job_named(name: str, done_here: Container[str] | None = None) -> str:
    """The job of that name, or that goes by that plain word on a species where these are done.

    Raises GrowerError where there is none, or where it may be several.
    """
    words = tokens_of(name.replace("_", " "))
    if words in JOB_WORDS:
        return the_job(words, done_here)
    plain = ["-".join(phrase) for phrase in JOB_WORDS if len(_meant_by(phrase, done_here)) == 1]
    hint = did_you_mean("-".join(words), [*JOBS, *plain]) or f"The jobs are {', '.join(JOBS)}."
    raise GrowerError(f'There is no job "{shortened(name)}".', hint=hint, field="job")


def _meant_by(words: Tokens, done_here: Container[str] | None) -> list[str]:
    """The jobs that words may mean on a species; a job's own name means that one alone."""
    meant = JOB_WORDS[words]
    fitting = [job for job in meant if done_here is None or job in done_here] or list(meant)
    return fitting[:1] if tokens_of(fitting[0]) == words else fitting
