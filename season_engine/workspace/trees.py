"""trees.csv: the trees a grower keeps, one a line."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import get_args

from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.text import shortened
from season_engine.tree import Origin, Size, Tree, Vigour, size_by_pot
from season_engine.workspace.pots import read_pot

COLUMNS = (
    "id",
    "name",
    "site",
    "species",
    "size",
    "pot_l",
    "pot",
    "origin",
    "last_repotted",
    "vigour",
    "shelter",
    "notes",
)
REQUIRED = ("id", "site", "species")


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
    pot = read_pot(row)
    return Tree(
        id=row.needed("id"),
        site=site or "",
        species=row.needed("species"),
        name=row.words("name"),
        size=row.one_of("size", get_args(Size)) or (size_by_pot(pot) if pot else "medium"),
        pot=pot,
        origin=row.one_of("origin", get_args(Origin)),
        last_repotted=row.day("last_repotted", whole=False),
        vigour=row.one_of("vigour", get_args(Vigour)) or "normal",
        shelter=row.one_of("shelter", ("yes", "no")) == "yes",
        notes=row.text("notes"),
        line=row.line,
    )
