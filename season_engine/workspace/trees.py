"""trees.csv: the trees a grower keeps, one a line."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import get_args

from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.text import shortened
from season_engine.site import Hemisphere
from season_engine.tree import ROOT_PARTS, Origin, Size, Stage, Tree, Vigour, size_by_pot
from season_engine.workspace.origins import from_other_hemisphere
from season_engine.workspace.pots import read_pot

# What a grower writes in each; those of `REQUIRED` must be there.
COLUMNS: Mapping[str, str] = MappingProxyType(
    {
        "id": "A short name of your own, each once.",
        "name": "What you call it.",
        "site": "Its site in season.toml; may be missing where there is one.",
        "species": "Botanical or common name, with a cultivar if you like.",
        "size": "small, medium or large; if empty, what its pot is, else medium.",
        "pot_l": "Its pot in litres, instead of pot.",
        "pot": "60x40x12 cm (length, width, depth), 35x15 cm (a round one's width and depth) or 30 l; it "
        "decides how cold and hot the roots get; if empty 1, 10 or 60 litres, by the size.",
        "origin": "nursery, field-grown, collected, cutting, seed, layer or graft.",
        "last_repotted": "2023-03-15, 2023-03 or 2023.",
        "vigour": "strong, normal or weak; if empty, normal. A weak tree gets no heavy work.",
        "shelter": "yes if it can stand under cover for some weeks after work on its roots, no if it can't; "
        "if empty, work that wants cover afterwards is told so.",
        "stage": "young, training, refined or old: how far it is; if empty, training.",
        "arrived": "The day it came to you; a month or year will do.",
        "arrived_from": "Where from: north, south, a latitude or a country.",
        "collected": "The day it was dug from the wild; a month or year will do.",
        "root_parts": "2, 3 or 4: in how many parts its root ball is renewed; if empty, as its kind has it.",
        "bench": "Where it stands.",
        "dead": "The day it died; from then on it is left out.",
        "notes": "Anything.",
    }
)
REQUIRED = ("id", "species")


def read_trees(path: Path, sites: Mapping[str, Hemisphere]) -> tuple[Tree, ...]:
    """Read trees.csv; `sites` are the names in season.toml, each with its hemisphere.

    A tree's site goes without saying where there is one. Raises GrowerError where the file can't be read,
    InputErrors with every fault in it.
    """
    sheet = Sheet(path, tuple(COLUMNS), REQUIRED if len(sites) == 1 else (*REQUIRED, "site"))
    trees: list[Tree] = []
    lines: dict[str, int] = {}
    for row in sheet:
        tree = _tree(row, sites)
        first = lines.setdefault(tree.id.casefold(), row.line)
        if tree.id and first != row.line:
            row.fault("id", f'The id "{shortened(tree.id)}" is taken by line {first} already.')
        trees.append(tree)
    sheet.finish()
    return tuple(trees)


def _tree(row: Row, sites: Mapping[str, Hemisphere]) -> Tree:
    site, pot = _site(row, sites), read_pot(row)
    arrived_from = row.words("arrived_from")
    return Tree(
        id=row.needed("id"),
        site=site,
        species=row.needed("species"),
        name=row.words("name"),
        size=row.one_of("size", get_args(Size)) or (size_by_pot(pot) if pot else "medium"),
        pot=pot,
        origin=row.one_of("origin", get_args(Origin)),
        last_repotted=row.day("last_repotted", whole=False),
        vigour=row.one_of("vigour", get_args(Vigour)) or "normal",
        shelter={"yes": True, "no": False}.get(row.one_of("shelter", ("yes", "no")) or ""),
        notes=row.text("notes"),
        line=row.line,
        stage=row.one_of("stage", get_args(Stage)),
        arrived=row.day("arrived", whole=False),
        arrived_from=arrived_from,
        other_hemisphere=site in sites and from_other_hemisphere(arrived_from, sites[site]),
        collected=row.day("collected", whole=False),
        root_parts=_root_parts(row),
        bench=row.words("bench"),
        dead=row.day("dead", whole=False),
    )


def _site(row: Row, sites: Mapping[str, Hemisphere]) -> str:
    if not row.words("site") and len(sites) == 1:
        return next(iter(sites))
    return (row.known("site", sites, "site") if row.needed("site") else None) or ""


def _root_parts(row: Row) -> int | None:
    parts = row.one_of("root_parts", tuple(map(str, ROOT_PARTS)))
    return int(parts) if parts else None
