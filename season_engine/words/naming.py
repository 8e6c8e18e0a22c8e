"""What jobs, windows and species are called."""

from __future__ import annotations

from typing import Protocol

from season_engine.facts import Text
from season_engine.species.jobs import JOBS
from season_engine.words.prose import plain
from season_engine.words.speech import say


def job_name(job: str) -> str:
    """As a grower says it: ``shortening candles`` for ``candle-shortening``."""
    words = Text(JOBS[job].words) if job in JOBS else job.replace("-", " ")
    return plain(words)


def job_of(job: str, species: str) -> str:
    """``repotting of white spruce``."""
    return say("{job} of {species}", job=job, species=species)


class OfOneSpecies(Protocol):
    """Whatever speaks of one species."""

    @property
    def species(self) -> str:
        """Botanical name."""

    @property
    def common_name(self) -> str:
        """Common name, may be empty."""


class OfOneJob(Protocol):
    """Whatever speaks of one job's window."""

    @property
    def job(self) -> str:
        """The job's key, such as ``needle-work``."""

    @property
    def window(self) -> str:
        """The window's name."""


class OfOneWindow(OfOneSpecies, OfOneJob, Protocol):
    """Whatever speaks of one window of one species."""


def species_name(named: OfOneSpecies) -> str:
    """The common name, or the botanical one where there is none."""
    return plain(Text(named.common_name or named.species, context="species"))


def window_name(named: OfOneJob) -> str:
    """The window's own name, where it says more than the job's."""
    words = named.window.replace("-", " ")
    job = JOBS[named.job].words if named.job in JOBS else named.job.replace("-", " ")
    return "" if named.window == named.job or words in job else plain(Text(words, context="window"))


def job_and_window(named: OfOneJob) -> str:
    """``repotting (spring)``."""
    job, window = job_name(named.job), window_name(named)
    return f"{job} ({window})" if window else job


def title(named: OfOneWindow) -> str:
    """``Japanese maple, repotting (spring)``."""
    return f"{species_name(named)}, {job_and_window(named)}"
