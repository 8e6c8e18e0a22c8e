"""What in the catalogue answers a row of growers' dates."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from season_engine.tree import POTS, Size
from tests.practice.table import Row

JAPAN = ("SAP", "NAG", "TOK")

# The species a grower of most climates means, and of Japan where that is another.
SPECIES = {
    "Camellia": "Camellia japonica",
    "Carpinus": "Carpinus betulus",
    "Chaenomeles": "Chaenomeles speciosa",
    "Fagus": "Fagus sylvatica",
    "Larix": "Larix decidua",
    "Malus": "Malus halliana",
    "Picea": "Picea abies",
    "Satsuki azalea": "Rhododendron indicum",
    "Ulmus minor/procera": "Ulmus minor",
    "Wisteria": "Wisteria floribunda",
    "flowering cherry": "Prunus x yedoensis",
}
SPECIES_IN_JAPAN = {
    "Carpinus": "Carpinus laxiflora",
    "Fagus": "Fagus crenata",
    "Larix": "Larix kaempferi",
    "Picea": "Picea jezoensis",
}


@dataclass(frozen=True)
class Windows:
    """Windows of a job that a row takes together: from the first opening to the last closing that come."""

    job: str
    names: tuple[str, ...]


@dataclass(frozen=True)
class Moment:
    """One end of a window, where a row gives the range in which something is done once."""

    job: str
    name: str
    end: Literal["opens", "closes"]


@dataclass(frozen=True)
class Stage:
    """A marker, where a row gives the range in which a stage comes."""

    marker: str


Answer = Windows | Moment | Stage

CONIFERS_PRUNED = Windows("structural-pruning", ("from autumn on", "late winter"))
PRUNED_BY_SPECIES = {
    "Acer buergerianum": Windows("structural-pruning", ("after leaf fall",)),
    "Acer palmatum": Windows("structural-pruning", ("after leaf fall",)),
    "Juniperus chinensis": CONIFERS_PRUNED,
    "Pinus radiata": CONIFERS_PRUNED,
    "Pinus thunbergii": CONIFERS_PRUNED,
    "Ulmus parvifolia": Windows("structural-pruning", ("winter",)),
}
# "Any cool time; in frosty places only near spring start": of a juniper's two windows the second.
JUNIPER_PRUNED_IN_FROST = Windows("structural-pruning", ("late winter",))
SIZED = {str(size): Windows("decandling", (f"early summer, {size} trees",)) for size in POTS}

REPOTTED_IN_SPRING = {
    # two schools, one after the other
    "Fagus": Windows("repotting", ("before swelling", "at first green")),
    "Ficus microcarpa": Windows("repotting", ("summer",)),
    "flowering cherry": Windows("repotting", ("before bloom",)),
}
REPOTTED_LATE = {"Chaenomeles": Windows("repotting", ("autumn",))}
COVER = {
    "going in": Moment("winter-shelter", "winter", "opens"),
    "coming out": Moment("winter-shelter", "winter", "closes"),
}
FIG_COVER: dict[str, Answer] = {
    "going in": Windows("winter-shelter", ("going in",)),
    "coming out": Moment("winter-shelter", "under cover", "closes"),
}
STAGES = {
    "candles begin to move": Stage("candles_moving"),
    "first bud swell": Stage("buds_swelling"),
    "first flowers": Stage("first_flowers"),
    "leaf-out": Stage("leaves_open"),
    "leaves hard": Stage("leaves_hard"),
    "needles through": Stage("needles_through"),
}
# By job and window, or by job alone.
OTHERS: Mapping[str | tuple[str, str], Answer] = {
    "candle pinching": Windows("candle-shortening", ("spring",)),
    ("defoliation", "partial"): Windows("defoliation", ("partial",)),
    ("defoliation", "whole"): Windows("defoliation", ("whole",)),
    "leaf drop": Stage("leaves_fallen"),
    "needle work": Windows("needle-work", ("from autumn on",)),
    "pruning after bloom": Windows("after-bloom-pruning", ("after bloom",)),
}


def species_of(row: Row) -> str:
    """Its name in the catalogue."""
    in_japan = SPECIES_IN_JAPAN.get(row.species) if row.climate in JAPAN else None
    return in_japan or SPECIES.get(row.species, row.species)


def size_of(row: Row) -> Size:
    """The size a row speaks of, or the one that is taken where nobody says."""
    return next((size for size in POTS if size == row.window), "medium")


def answer_to(row: Row) -> Answer | None:
    """What answers a row; None where nothing was named for it."""
    match row.job, row.window:
        case "structural pruning", _:
            if row.species == "Juniperus chinensis" and row.climate not in ("TOK", "SOUTH"):
                return JUNIPER_PRUNED_IN_FROST
            return PRUNED_BY_SPECIES.get(row.species)
        case "decandling", "":
            return Windows("decandling", tuple(name for one in SIZED.values() for name in one.names))
        case "decandling", size:
            return SIZED.get(size)
        case "repotting", "spring":
            return REPOTTED_IN_SPRING.get(row.species, Windows("repotting", ("spring",)))
        case "repotting", "late summer / early autumn":
            return REPOTTED_LATE.get(row.species, Windows("repotting", ("late summer",)))
        case "winter cover", way:
            return (FIG_COVER if row.species == "Ficus microcarpa" else COVER).get(way)
        case "stage", stage:
            return STAGES.get(stage)
    return OTHERS.get(row.job) or OTHERS.get((row.job, row.window))
