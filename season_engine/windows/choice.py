"""Which of a species' windows are meant: by job and name, or by the trees that are kept."""

from __future__ import annotations

from collections.abc import Sequence

from season_engine.errors import GrowerError
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.schema import Size, Window
from season_engine.windows.jobs import JOBS
from season_engine.windows.today import is_for
from season_engine.workspace.trees import Tree

DEFAULT_SIZE: Size = "medium"


def windows_asked_for(species: Species, job: str, size: Size, name: str | None) -> list[Window]:
    """Windows of a job, or the one of that name; raises GrowerError where there is none."""
    of_job = [one for one in species.windows if one.job == job and one.size in (None, size)]
    if not of_job:
        raise GrowerError(
            f'the catalogue has no window for "{job}" on {species.name}.',
            hint=f"It has {', '.join(species.jobs)}.",
        )
    if name is None:
        return [one for one in of_job if one in species.full_windows] or of_job
    aside = [one for one in species.set_aside if one.job == job and one.size in (None, size)]
    named = [one for one in (*of_job, *aside) if one.name.casefold() == name.casefold()]
    if not named:
        raise GrowerError(
            f'{species.name} has no window "{name}" for {job}.',
            hint=f"It has {', '.join(one.name for one in (*of_job, *aside))}.",
        )
    return named


def windows_kept(species: Species, trees: Sequence[Tree], catalogue: Catalogue) -> list[Window]:
    """A species' windows, of full root work; of those that are for some trees only, the grower's."""
    own = [tree for tree in trees if catalogue.get(tree.species) is species]
    if own:
        return [one for one in species.full_windows if any(is_for(one, tree) for tree in own)]
    return [
        one for one in species.full_windows if one.size in (None, DEFAULT_SIZE) and not JOBS[one.job].origins
    ]


def windows_told(species: Species, trees: Sequence[Tree], catalogue: Catalogue) -> list[Window]:
    """Of those, the ones of jobs that are told in full."""
    return [one for one in windows_kept(species, trees, catalogue) if JOBS[one.job].told_in_full]
