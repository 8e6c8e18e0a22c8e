"""Which of a species' windows are meant: by job and name, by the trees that are kept, or by the day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from season_engine.errors import GrowerError
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.tree import Size, Tree
from season_engine.trees.need import is_for
from season_engine.windows.assessment import Assessment

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


def species_kept(trees: Sequence[Tree], catalogue: Catalogue) -> list[Species]:
    """The species of the trees; without trees, every one. Raises GrowerError where it has none of them."""
    if not trees:
        return list(catalogue.species.values())
    kinds = [kind for tree in trees if (kind := catalogue.get(tree.species))]
    if not kinds:
        raise GrowerError(
            "the catalogue has none of the species of the trees at these sites.",
            hint="Name one with --species.",
        )
    return list({kind.name: kind for kind in kinds}.values())


def nearest_first(windows: Iterable[Assessment]) -> list[Assessment]:
    """A job's windows judged on one day, the one that a grower means by asking today at the head.

    1. One that is open and not on hold: best one that needs no shelter, then the one that closes first.
    2. One that opens within the fortnight.
    3. The nearest by days, ahead to its opening or back to its closing: with one shut for three weeks and
       another four months off it is too late, not too early. One that is open but on hold is no day away; of
       two as near, the one to come is meant.
    4. One that opens only when too little warmth is left for the tree to recover, or seldom goes well.
    5. One that most seasons here don't have.
    """
    return sorted(windows, key=_reach)


def _reach(a: Assessment) -> tuple[int, float, int]:
    opens, closes, on = a.standing.opens, a.standing.closes, a.as_of
    if a.verdict == "not-here" or opens is None or closes is None:
        return 5, 1 - a.chance_given, 0
    is_open, over = a.in_window, a.verdict == "closed"
    days = (on - closes).days if over else 0 if is_open else (opens - on).days
    if a.opens_too_late or a.seldom_well is not None:
        return 4, days, 0
    if is_open and a.today != "hold":
        return 1, ("do", "only-with-shelter", "no").index(a.today), (closes - on).days
    return 2 if a.verdict == "soon" else 3, days, int(over)
