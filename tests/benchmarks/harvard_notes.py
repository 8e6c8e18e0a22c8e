"""How the error of next spring's buds falls with notes: in a forest taken for a yard, and in made yards.

`python -m tests.benchmarks.harvard_notes`: notes are drawn from the springs before the one that is foretold,
from any tree, stage and species; each spring's weather is known, so that what is left is the rule's error.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from season_engine.phenology.learning import DECAY, RuleError, Taught
from season_engine.species.catalogue import load_catalogue
from tests.benchmarks.harvard_buds import MARKERS, NEAREST, WORDS, dates_of
from tests.benchmarks.markdown import markdown_table, show
from tests.practice.forest_buds import BREAKING, buds, seasons

COUNTS = (0, 1, 3, 5, 10, 20)
DRAWN = 20  # sets of notes for each spring and number
SEED = 8
STRANGE_DAYS = 11.0  # error of a rule that was set for other species
MADE_YEARS, MADE_KINDS, MADE_TREES = 12, 6, 3
YEAR_DAYS, KIND_DAYS = 4.0, 4.0  # by which years and kinds stray in made yards


class Seen(NamedTuple):
    """A stage of a tree in a spring, and how much later it came than the rule has it."""

    species: str
    tree: str
    stage: int
    year: int
    late: float
    error: RuleError


def forest(*, left_out: bool) -> list[Seen]:
    """All that the engine has a rule for; `left_out`: by the mean of the other species' rules."""
    years = (seasons().years + 1).tolist()
    found = []
    for species in NEAREST:
        for stage, marker in MARKERS.items():
            names = [name for one, name in NEAREST.items() if (one != species) == left_out]
            dates = np.mean([dates_of(name, marker) for name in names], axis=0)
            dated = dict(zip(years, dates, strict=True))
            own = load_catalogue().find(names[0]).markers[marker]
            strange = own.model_copy(update={"sd_days": STRANGE_DAYS, "year_sd_days": None})
            error = RuleError.of([strange if left_out else own])
            found += [
                Seen(species, bud.tree, stage, bud.year, bud.days[stage] - dated[bud.year], error)
                for bud in buds()
                if bud.species == species and stage in bud.days and bud.year in dated
            ]
    return found


def made(yard_days: float, tree_days: float) -> list[Seen]:
    """A yard that is off by so much for all kinds, whose trees differ by so much."""
    random = np.random.default_rng(SEED)
    error = RuleError.of([load_catalogue().find("Acer palmatum").markers["buds_swelling"]])
    found = []
    for kind in range(MADE_KINDS):
        of_kind = yard_days + random.normal(0, KIND_DAYS)
        years = random.normal(0, YEAR_DAYS, MADE_YEARS)
        for tree in range(MADE_TREES):
            of_tree = of_kind + random.normal(0, tree_days)
            found += [
                Seen(f"{kind}", f"{kind}-{tree}", BREAKING, year, of_tree + years[year] + stray, error)
                for year, stray in enumerate(random.normal(0, 2.0, MADE_YEARS))
            ]
    return found


def taught(notes: Sequence[Seen], year: int) -> dict[str, Taught]:
    """The notes by species, as a journal has them."""
    found = {}
    for species in sorted({one.species for one in notes}):
        own = [one for one in notes if one.species == species]
        errors = np.array([(one.error.yard_days, one.error.year_days) for one in own])
        found[species] = Taught(
            np.array([one.late for one in own]),
            np.array([np.exp(-DECAY * (year - one.year)) for one in own]),
            tuple(one.tree for one in own),
            RuleError(*np.sqrt((errors**2).mean(axis=0)).tolist()),
        )
    return found


def foretold(known: Mapping[str, Taught], due: Seen, *, pooled: bool) -> float:
    """By how much a tree is expected late."""
    beside = [one.of_kind for name, one in known.items() if name != due.species] if pooled else []
    others = [one for one in beside if one is not None]
    own = known.get(due.species) or Taught(np.empty(0), np.empty(0), (), due.error)
    return float(own.of_tree(due.tree if pooled else "", others).shift_days)


def errors(every: Sequence[Seen], *, pooled: bool) -> dict[tuple[int, int], list[float]]:
    """Absolute errors by stage and number of notes."""
    random = np.random.default_rng(SEED)
    found: dict[tuple[int, int], list[float]] = {}
    for year in sorted({one.year for one in every})[2:]:
        before = [one for one in every if one.year < year]
        due = [one for one in every if one.year == year]
        for count in COUNTS:
            for _ in range(DRAWN if count else 1):
                drawn = [before[at] for at in random.choice(len(before), count, replace=False)]
                known = taught(drawn, year)
                shifts = {
                    key: foretold(known, one, pooled=pooled)
                    for one in due
                    if (key := (one.species, one.tree, one.error))
                }
                for one in due:
                    off = one.late - shifts[one.species, one.tree, one.error]
                    found.setdefault((one.stage, count), []).append(abs(off))
    return found


def rows(name: str, every: Sequence[Seen], stages: Sequence[int]) -> Iterator[Sequence[str]]:
    """Mean errors by what is learnt from, and by stage."""
    for words, pooled in (("own kind's notes alone", False), ("all notes", True)):
        found = errors(every, pooled=pooled)
        for stage in stages:
            means = (np.mean(found[stage, count]) for count in COUNTS)
            yield name, WORDS[stage], words, *(f"{mean:.1f}" for mean in means)


def main() -> None:
    table = []
    for name, left_out in (("forest, nearest species' rules", False), ("forest, other species' rules", True)):
        table += rows(name, forest(left_out=left_out), list(MARKERS))
    for yard_days in (0.0, 4.0, 8.0):
        for tree_days in (0.0, 4.0):
            name = f"made, yard {yard_days:.0f} late, trees {tree_days:.0f} apart"
            table += rows(name, made(yard_days, tree_days), [BREAKING])
    show(*markdown_table(("Yard", "Stage", "Learnt from", *(f"{count} notes" for count in COUNTS)), table))


if __name__ == "__main__":
    main()
