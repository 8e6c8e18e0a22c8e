"""A tree as its grower describes it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

Size = Literal["small", "medium", "large"]


Origin = Literal["nursery", "field-grown", "collected", "cutting", "seed", "layer", "graft"]


Vigour = Literal["strong", "normal", "weak"]


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
        return replace(tree, last_repotted=None)
    return tree
