"""What a batch is asked: which windows of which species, on which day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from season_engine.errors import GrowerError
from season_engine.files.text import listed
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import Catalogue, Species, load_catalogue
from season_engine.species.jobs import job_named
from season_engine.species.schema import Window
from season_engine.windows.choice import DEFAULT_SIZE, windows_asked_for


@dataclass(frozen=True, slots=True)
class Asked:
    """Species by their botanical names, jobs by theirs, and the day that counts as today.

    `own` are a grower's own files of species over the package's, sent as they are: a worker has no such file.
    """

    species: tuple[str, ...]
    jobs: tuple[str, ...]
    on: dt.date
    own: tuple[TomlText, ...] = ()

    @property
    def catalogue(self) -> Catalogue:
        """What is judged by."""
        return catalogue_here(self.own)

    def windows(self, catalogue: Catalogue) -> Iterator[tuple[Species, list[Window]]]:
        """Each species' windows of the jobs that are done on it, those that `check` judges."""
        for name in self.species:
            kind = catalogue.find(name)
            jobs = [job for job in self.jobs if job in kind.jobs]
            yield kind, [one for job in jobs for one in windows_asked_for(kind, job, DEFAULT_SIZE, None)]


def asked(
    species: Sequence[str], jobs: Sequence[str], on: dt.date, own: tuple[TomlText, ...] = ()
) -> tuple[Asked, list[tuple[str, str]]]:
    """What is asked by names as growers write them, and which job isn't done on which of the species.

    Raises GrowerError for a name that isn't known, and where none of the jobs is done on a species.
    """
    catalogue = catalogue_here(own)
    names = catalogue.known_names(())
    kinds = [catalogue.find(names.species_called(name)) for name in dict.fromkeys(species)]
    done = {job for kind in kinds for job in kind.jobs}
    wanted = [*dict.fromkeys(job_named(job, done) for job in jobs)]
    without = [(job, kind.name) for kind in kinds for job in wanted if job not in kind.jobs]
    for kind in kinds:
        if all((job, kind.name) in without for job in wanted):
            problem = f"the catalogue has no window for {listed(wanted)} on {kind.name}."
            raise GrowerError(problem, hint=f"It has {', '.join(kind.jobs)}.")
    return Asked(tuple(dict.fromkeys(kind.name for kind in kinds)), tuple(wanted), on, own), without


@lru_cache(maxsize=2)
def catalogue_here(own: tuple[TomlText, ...] = ()) -> Catalogue:
    """The package's catalogue, a grower's own files over it, read once a process."""
    return load_catalogue(own)
