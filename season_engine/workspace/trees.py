"""trees.csv: the trees a grower keeps, one a line."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from season_engine.workspace.csv_rows import Row, Sheet
from season_engine.workspace.reading import shortened

Size = Literal["small", "medium", "large"]
Origin = Literal["nursery", "field-grown", "collected", "cutting", "seed", "layer", "graft"]
Vigour = Literal["strong", "normal", "weak"]

COLUMNS = (
    "id",
    "name",
    "site",
    "species",
    "size",
    "origin",
    "last_repotted",
    "vigour",
    "shelter",
    "notes",
)
REQUIRED = ("id", "site", "species")


@dataclass(frozen=True, slots=True)
class Tree:
    """One tree as the grower describes it."""

    id: str
    site: str  # as season.toml spells it
    species: str  # as typed; the catalogue decides what it is
    name: str = ""
    size: Size = "medium"
    origin: Origin | None = None
    last_repotted: dt.date | None = None  # a year or month alone counts as its first day
    vigour: Vigour = "normal"
    shelter: bool = False  # can stand under cover for weeks after repotting
    notes: str = ""
    line: int = 0  # in trees.csv


def tree_as_of(tree: Tree, on: dt.date) -> Tree:
    """The tree as it was known on `on`: a repotting dated later has not happened yet."""
    if tree.last_repotted is not None and tree.last_repotted > on:
        return dataclasses.replace(tree, last_repotted=None)
    return tree


def read_trees(path: Path, sites: Iterable[str]) -> tuple[Tree, ...]:
    """Read trees.csv; `sites` are the names in season.toml.

    Raises GrowerError where the file can't be read, InputErrors with every fault in it.
    """
    sheet = Sheet(path, COLUMNS, REQUIRED)
    names = tuple(sites)
    trees: list[Tree] = []
    lines: dict[str, int] = {}
    for row in sheet:
        tree = _tree(row, names)
        first = lines.setdefault(tree.id.casefold(), row.line)
        if tree.id and first != row.line:
            row.fault("id", f'The id "{shortened(tree.id)}" is taken by line {first} already.')
        trees.append(tree)
    sheet.finish()
    return tuple(trees)


def _tree(row: Row, sites: tuple[str, ...]) -> Tree:
    site = row.known("site", sites, "site") if row.needed("site") else None
    return Tree(
        id=row.needed("id"),
        site=site or "",
        species=row.needed("species"),
        name=row.words("name"),
        size=row.one_of("size", get_args(Size)) or "medium",
        origin=row.one_of("origin", get_args(Origin)),
        last_repotted=row.day("last_repotted", whole=False),
        vigour=row.one_of("vigour", get_args(Vigour)) or "normal",
        shelter=row.one_of("shelter", ("yes", "no")) == "yes",
        notes=row.text("notes"),
        line=row.line,
    )
