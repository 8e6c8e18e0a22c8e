"""Dates that the catalogue's needs of spring are set to, by marker and climate.

First the growers' table, by its certainty; then what was seen of buds in a forest; where neither has a
species, the dates of two yards, as the catalogue's needs were first set to them (common practice).
"""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tests.practice.climates import CLIMATES
from tests.practice.forest_buds import BREAKING, by_spring
from tests.practice.table import FOLDER, Row, practice_rows

YARD_CERTAINTY = 50  # in a hundred: good to a fortnight, and the yards' weather is made up
ALL = tuple(CLIMATES)
SEEN = 100
FOREST = "NEW"  # its weather is that of the forest where buds were looked at


@dataclass(frozen=True)
class FromTable:
    """Rows that date a marker: the middle of a stage, or one end of a window, and so many days later."""

    species: str  # as the table has it
    job: str
    window: str = ""
    end: str = "middle"
    later: int = 0
    climates: tuple[str, ...] = ALL


@dataclass(frozen=True)
class Target:
    """The date, MM-DD, on which a marker should usually come in a climate."""

    climate: str
    date: str
    certainty: float


Key = tuple[str, str]  # species of the catalogue, marker


def swell(species: str) -> FromTable:
    return FromTable(species, "stage", "first bud swell")


def opens(species: str, later: int = 0, climates: tuple[str, ...] = ALL) -> FromTable:
    return FromTable(species, "repotting", "spring", "opens", later, climates)


def closes(species: str, climates: tuple[str, ...] = ALL) -> FromTable:
    return FromTable(species, "repotting", "spring", "closes", 0, climates)


def leaf_out(species: str) -> FromTable:
    return FromTable(species, "stage", "leaf-out")


def pinched(species: str, end: str) -> FromTable:
    return FromTable(species, "candle pinching", "", end)


SOUTH = ("SOUTH",)
# Where first flowers come within ten days of the growers': an apricot's further dates hang on them.
FLOWERS_AS_GIVEN = ("SAP", "NAG", "TOK")
# Black pines are repotted from fat buds on, a week or two before candles move in the table: one marker
# stands for both, and is set to the job. A beech is, by one school, repotted three weeks before it swells.
TABLE: dict[Key, tuple[FromTable, ...]] = {
    ("Acer palmatum", "buds_swelling"): (swell("Acer palmatum"), opens("Acer palmatum", climates=SOUTH)),
    ("Acer palmatum", "leaves_open"): (leaf_out("Acer palmatum"), closes("Acer palmatum")),
    ("Acer buergerianum", "buds_swelling"): (
        swell("Acer buergerianum"),
        opens("Acer buergerianum", climates=SOUTH),
    ),
    ("Acer buergerianum", "leaves_open"): (leaf_out("Acer buergerianum"), closes("Acer buergerianum")),
    ("Larix decidua", "buds_swelling"): (swell("Larix"), opens("Larix")),
    ("Larix decidua", "leaves_open"): (leaf_out("Larix"), closes("Larix")),
    ("Pinus thunbergii", "candles_moving"): (opens("Pinus thunbergii"),),
    ("Pinus thunbergii", "candles_long"): (closes("Pinus thunbergii"),),
    ("Pinus thunbergii", "needles_through"): (FromTable("Pinus thunbergii", "stage", "needles through"),),
    ("Pinus radiata", "candles_moving"): (opens("Pinus radiata"),),
    ("Pinus parviflora", "buds_swelling"): (opens("Pinus parviflora"), opens("Pinus sylvestris")),
    ("Pinus parviflora", "candles_two_cm"): (closes("Pinus parviflora"), closes("Pinus sylvestris")),
    ("Pinus parviflora", "sheaths_part"): (
        pinched("Pinus parviflora", "opens"),
        pinched("Pinus sylvestris", "opens"),
    ),
    ("Pinus parviflora", "needles_open"): (
        pinched("Pinus parviflora", "closes"),
        pinched("Pinus sylvestris", "closes"),
    ),
    ("Picea glauca", "buds_swelling"): (opens("Picea"),),
    ("Picea glauca", "caps_off"): (closes("Picea"),),
    ("Rhododendron indicum", "buds_moving"): (opens("Satsuki azalea"),),
    ("Rhododendron indicum", "new_shoots"): (closes("Satsuki azalea"),),
    ("Rhododendron indicum", "petals_off"): (
        FromTable("Satsuki azalea", "pruning after bloom", "", "opens"),
    ),
    ("Carpinus betulus", "buds_swelling"): (opens("Carpinus"),),
    ("Carpinus betulus", "leaves_open"): (closes("Carpinus"),),
    ("Malus halliana", "buds_swelling"): (opens("Malus"),),
    ("Malus halliana", "leaves_open"): (closes("Malus"),),
    ("Ulmus parvifolia", "buds_swelling"): (opens("Ulmus parvifolia"), opens("Ulmus minor/procera")),
    ("Ulmus parvifolia", "leaves_open"): (closes("Ulmus parvifolia"), closes("Ulmus minor/procera")),
    ("Zelkova serrata", "buds_swelling"): (opens("Zelkova serrata"),),
    ("Zelkova serrata", "leaves_open"): (closes("Zelkova serrata"),),
    ("Ginkgo biloba", "buds_swelling"): (opens("Ginkgo biloba"),),
    ("Ginkgo biloba", "leaves_open"): (closes("Ginkgo biloba"),),
    ("Fagus sylvatica", "buds_swelling"): (opens("Fagus", later=21),),
    ("Fagus sylvatica", "leaves_open"): (closes("Fagus"),),
    ("Chaenomeles speciosa", "buds_swelling"): (opens("Chaenomeles"),),
    ("Chaenomeles speciosa", "leaves_open"): (closes("Chaenomeles"),),
    ("Chamaecyparis obtusa", "growth_starts"): (opens("Chamaecyparis obtusa"),),
    ("Chamaecyparis obtusa", "in_full_growth"): (closes("Chamaecyparis obtusa"),),
    ("Juniperus chinensis", "in_full_growth"): (closes("Juniperus chinensis"),),
    ("Juniperus rigida", "in_full_growth"): (closes("Juniperus rigida"),),
    ("Olea europaea", "in_full_growth"): (closes("Olea europaea"),),
    ("Prunus mume", "petals_fall"): (
        opens("Prunus mume", climates=FLOWERS_AS_GIVEN),
        FromTable("Prunus mume", "pruning after bloom", "", "opens", 0, FLOWERS_AS_GIVEN),
    ),
    ("Prunus mume", "leaves_open"): (closes("Prunus mume", climates=FLOWERS_AS_GIVEN),),
}


def targets() -> dict[Key, list[Target]]:
    """Every marker whose need is set, with its dates; a marker that others are counted from comes first."""
    yards = _of_yards()
    rows = practice_rows()
    found = {
        key: [one for source in sources for one in _of_rows(rows, source)] for key, sources in TABLE.items()
    }
    found |= _of_forest()
    for key, dates in yards.items():
        table = found.setdefault(key, [])
        have = {one.climate for one in table}
        table += [one for one in dates if one.climate not in have]
    return found


def _of_forest() -> dict[Key, list[Target]]:
    """Of the one species that the forest and the catalogue have both, by all springs seen."""
    springs = by_spring("Acer rubrum", BREAKING)
    mean = float(np.mean([np.mean(days) for days in springs.values()]))
    date = dt.date(2000, 10, 1) + dt.timedelta(days=round(mean))
    return {("Acer rubrum", "leaves_open"): [Target(FOREST, f"{date:%m-%d}", SEEN)]}


def _of_rows(rows: list[Row], source: FromTable) -> Iterator[Target]:
    """Ends left out of the count stay out."""
    for row in rows:
        if (row.species, row.job, row.window) != (source.species, source.job, source.window):
            continue
        if row.climate in source.climates and source.end not in row.ends_left_out:
            yield Target(row.climate, _later(getattr(row, source.end), source.later), row.certainty)


def _later(month_day: str, days: int) -> str:
    return f"{dt.date.fromisoformat(f'2001-{month_day}') + dt.timedelta(days=days):%m-%d}"


def _of_yards() -> dict[Key, list[Target]]:
    with (FOLDER / "yards.csv").open(encoding="utf-8", newline="") as file:
        return {
            (line["species"], line["marker"]): [
                Target(climate, line[climate], YARD_CERTAINTY) for climate in ("EUR", "SOUTH")
            ]
            for line in csv.DictReader(file)
        }
