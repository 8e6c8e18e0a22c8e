"""The catalogue's bud swell and bud break beside a real record of buds, tree by tree.

`python -m tests.benchmarks.harvard_buds`: with each spring's weather known, by species: how far off, whether
stages keep their order, and how far trees and springs lie apart beside what the catalogue claims. Errors are
in days, the engine's date less the one seen, so late is plus.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.dating import date_markers
from season_engine.phenology.learning import LearntArrays
from season_engine.species.catalogue import load_catalogue
from tests.benchmarks.markdown import markdown_table, show
from tests.practice.forest_buds import (
    BREAKING,
    STAGES,
    SWELLING,
    Bud,
    between_springs,
    between_trees,
    buds,
    by_spring,
    seasons,
)

FloatArray = NDArray[np.float64]
ENOUGH_SPRINGS = 8
# The catalogue's species, or the nearest it has; it has none near the ashes, witch hazels and poplars.
NEAREST = {
    "Acer rubrum": "Acer rubrum",
    "Acer pensylvanicum": "Acer campestre",
    "Amelanchier sp": "Malus halliana",
    "Betula alleghaniensis": "Betula pendula",
    "Crataegus sp": "Crataegus monogyna",
    "Quercus rubra": "Quercus robur",
}
MARKERS = {SWELLING: "buds_swelling", BREAKING: "leaves_open"}
WORDS = {SWELLING: "swelling", BREAKING: "breaking"}


def dates_of(name: str, marker: str) -> FloatArray:
    """The engine's day of the season in each of the forest's seasons."""
    return date_markers(load_catalogue().find(name), seasons().traces).plain[marker][:, 0]


def off_days(name: str, marker: str, springs: dict[int, list[float]]) -> FloatArray:
    """In each spring seen, the engine's day less the mean of the trees'."""
    found = dict(zip((seasons().years + 1).tolist(), dates_of(name, marker), strict=True))
    return np.array([found[year] - np.mean(days) for year, days in springs.items()])


def left_out(off: FloatArray) -> FloatArray:
    """What is off in each spring once the mean of the others is known: the shift a few notes would teach."""
    others = (off.sum() - off) / (off.size - 1)
    return off - others


def errors() -> Iterator[Sequence[str]]:
    """By species and stage, where there are springs enough."""
    for species, name in NEAREST.items():
        for stage, marker in MARKERS.items():
            springs = by_spring(species, stage)
            if len(springs) < ENOUGH_SPRINGS:
                continue
            off = off_days(name, marker, springs)
            spread = load_catalogue().find(name).markers[marker].sd_days
            usual = left_out(np.array([-np.mean(days) for days in springs.values()]))
            yield (
                *(
                    species,
                    name,
                    WORDS[stage],
                    str(len(springs)),
                    f"{np.abs(off).mean():.1f}",
                    f"{off.mean():+.1f}",
                ),
                *(f"{np.abs(left_out(off)).mean():.1f}", f"{np.abs(usual).mean():.1f}"),
                *(f"{off.std(ddof=1):.1f}", f"{spread:g}"),
            )


def spreads() -> Iterator[Sequence[str]]:
    """Order of stages, and spread between trees and springs, of every species with springs enough."""
    for species in dict.fromkeys(bud.species for bud in buds()):
        ours = [bud for bud in buds() if bud.species == species]
        whole = [bud for bud in ours if len(bud.days) > 1]
        if len(by_spring(species, BREAKING)) < ENOUGH_SPRINGS:
            continue
        kept = np.mean([bud.in_order for bud in whole])
        apart = [_apart(species, stage) for stage in STAGES]
        wait = [
            bud.days[BREAKING] - bud.days[SWELLING] for bud in ours if {SWELLING, BREAKING} <= bud.days.keys()
        ]
        yield (
            *(species, str(len({bud.tree for bud in ours})), f"{kept:.0%} of {len(whole)}", *apart),
            *(f"{np.mean(wait):.0f}" if wait else "", _our_wait(species)),
        )


def _apart(species: str, stage: int) -> str:
    springs = by_spring(species, stage)
    both = between_trees(springs), between_springs(springs)
    return " / ".join("-" if np.isnan(one) else f"{one:.1f}" for one in both)


def _our_wait(species: str) -> str:
    name = NEAREST.get(species)
    if name is None:
        return ""
    swelling, breaking = (dates_of(name, marker) for marker in MARKERS.values())
    return f"{np.mean(breaking - swelling):.0f}"


def once_swollen() -> Iterator[Sequence[str]]:
    """How far breaking is off once a tree's own first swelling was seen, beside what says nothing of it.

    What the species' other springs are off by in the mean is taken off, as notes would.
    """
    ways = ("usual date of other springs", "the rule", "the rule, counted from the swelling seen")
    ways = (*ways, "so many days after the swelling seen")
    seen = [one for one in buds() if one.species in NEAREST and {SWELLING, BREAKING} <= one.days.keys()]
    off = np.array([_ways_off(one) for one in seen])
    for way, column in zip(ways, off.T, strict=True):
        yield way, str(len(seen)), f"{np.abs(_less_own_mean(seen, column)).mean():.1f}"


def _ways_off(bud: Bud) -> tuple[float, float, float, float]:
    """The day a tree broke, less nothing, then less what each way gives; up to a constant of the species."""
    place = (seasons().years + 1).tolist().index(bud.year)
    kind = load_catalogue().find(NEAREST[bud.species])
    column = np.full(seasons().years.size, np.nan)
    column[place] = bud.days[SWELLING]
    told = date_markers(kind, seasons().traces, learnt=LearntArrays(seen={MARKERS[SWELLING]: column}))
    broke = bud.days[BREAKING]
    rule = broke - dates_of(kind.name, MARKERS[BREAKING])[place]
    return broke, rule, broke - told.plain[MARKERS[BREAKING]][place, 0], broke - bud.days[SWELLING]


def _less_own_mean(seen: Sequence[Bud], off: FloatArray) -> FloatArray:
    species, years = np.array([one.species for one in seen]), np.array([one.year for one in seen])
    others = (species[:, None] == species) & (years[:, None] != years)
    return np.asarray(off - (others * off).sum(axis=1) / others.sum(axis=1))


def main() -> None:
    head = ("Seen", "Catalogue's", "Stage", "Springs", "Mean error", "Bias", "Bias of other springs known")
    show(*markdown_table((*head, "Usual date of other springs", "Strays", "Claimed"), errors()), "")
    head = (
        "Species",
        "Trees",
        "Stages in order",
        "01",
        "02",
        "03",
        "07",
        "Days from 01 to 07",
        "The catalogue's",
    )
    show(*markdown_table(head, spreads()), "")
    show(*markdown_table(("Breaking dated by", "Trees and springs", "Mean error"), once_swollen()))


if __name__ == "__main__":
    main()
