"""Sizes of trees: the pot each is taken to stand in, and whether one person lifts a wet tree in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from season_engine.tree import Size

SIZES: tuple[Size, ...] = ("small", "medium", "large")
POT_L: Mapping[Size, float] = {"small": 1.0, "medium": 10.0, "large": 60.0}  # from memory
# A wet tree's weight for a litre of its pot, and what one and two people lift: common practice, from memory.
LIGHTEST_KG_PER_L, HEAVIEST_KG_PER_L = 1.3, 1.5
ONE_LIFTS_KG, TWO_LIFT_KG = 25, 60


def heavy_to_lift(size: Size) -> bool:
    """Whether a wet tree of that size may be more than one person lifts."""
    return POT_L[size] * HEAVIEST_KG_PER_L > ONE_LIFTS_KG


def largest(sizes: Iterable[Size]) -> Size | None:
    """The largest of some sizes; None of none."""
    return max(sizes, key=SIZES.index, default=None)
