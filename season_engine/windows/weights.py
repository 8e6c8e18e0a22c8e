"""Weights of trees in their pots: whether one person lifts a wet one."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.tree import Tree

# A wet tree's weight for a litre of its pot, and what one and two people lift: common practice, from memory.
LIGHTEST_KG_PER_L, HEAVIEST_KG_PER_L = 1.3, 1.5
ONE_LIFTS_KG, TWO_LIFT_KG = 25, 60


def heavy_to_lift(pot_l: float) -> bool:
    """Whether a wet tree in a pot of so many litres may be more than one person lifts."""
    return pot_l * HEAVIEST_KG_PER_L > ONE_LIFTS_KG


def heaviest(trees: Iterable[Tree]) -> Tree | None:
    """The one in the largest pot; None of none."""
    return max(trees, key=lambda tree: tree.stands_in.litres, default=None)
