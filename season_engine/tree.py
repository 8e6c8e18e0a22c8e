"""A tree as its grower describes it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal, NamedTuple

from season_engine.pot import Pot

Size = Literal["small", "medium", "large"]


class PotsOfSize(NamedTuple):
    """The pots that trees of a size stand in."""

    usual: Pot
    most_l: float  # what holds more is a larger tree's


# From memory: about 18 cm wide and 9 deep, 30 by 15, 53 by 27.
POTS: Mapping[Size, PotsOfSize] = MappingProxyType(
    {
        "small": PotsOfSize(Pot.of_tree(1.0), 3.0),
        "medium": PotsOfSize(Pot.of_tree(10.0), 25.0),
        "large": PotsOfSize(Pot.of_tree(60.0), math.inf),
    }
)


def size_by_pot(pot: Pot) -> Size:
    """The size of a tree of which only the pot is known."""
    return next(size for size, pots in POTS.items() if round(pot.litres, 3) <= pots.most_l)


Origin = Literal["nursery", "field-grown", "collected", "cutting", "seed", "layer", "graft"]


Vigour = Literal["strong", "normal", "weak"]
Stage = Literal["young", "training", "refined", "old"]  # how far it is on the way to a finished tree
ROOT_PARTS = (2, 3, 4)  # in how many a root ball may be renewed


@dataclass(frozen=True, slots=True)
class Tree:
    """One tree as the grower describes it."""

    id: str
    site: str  # as season.toml spells it
    species: str  # as typed; the catalogue decides what it is
    name: str = ""
    size: Size = "medium"
    pot: Pot | None = None  # its width and depth; None: nobody said
    origin: Origin | None = None
    last_repotted: dt.date | None = None  # a year or month alone counts as its first day
    vigour: Vigour = "normal"
    shelter: bool | None = None  # can stand under cover for weeks after repotting; None: nobody said
    notes: str = ""
    line: int = 0  # in trees.csv
    stage: Stage | None = None  # None: nobody said
    arrived: dt.date | None = None
    arrived_from: str = ""  # in the grower's words
    other_hemisphere: bool = False  # whether that is where it came from
    collected: dt.date | None = None  # dug from the wild
    root_parts: int | None = None  # in how many its root ball is renewed; None: as its kind has it
    bench: str = ""
    dead: dt.date | None = None

    @property
    def stands_in(self) -> Pot:
        """Its pot, or the one that a tree of its size has."""
        return self.pot or POTS[self.size].usual


def tree_as_of(tree: Tree, on: dt.date) -> Tree:
    """The tree as it was known on `on`: what is dated later has not happened yet."""

    def known(date: dt.date | None) -> dt.date | None:
        return None if date is None or date > on else date

    came = tree.arrived is None or tree.arrived <= on
    return replace(
        tree,
        last_repotted=known(tree.last_repotted),
        arrived=known(tree.arrived),
        collected=known(tree.collected),
        arrived_from=tree.arrived_from if came else "",
        other_hemisphere=tree.other_hemisphere and came,
        dead=known(tree.dead),
    )
