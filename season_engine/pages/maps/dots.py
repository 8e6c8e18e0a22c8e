"""Scattered sites as dots in the tone of their value, and marks of their own for those without one."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.maps.shown import Blank, Shown
from season_engine.pages.maps.inks import INK, PAPER, PATTERNS, tones

FloatArray = NDArray[np.float64]


def dot_size_pt(count: int) -> float:
    """Width of a dot in points, smaller where there are many."""
    return 6.0 if count <= 100 else 4.5 if count <= 600 else 3.0


def draw_dots(
    axes: Any, shown: Shown, latitude: FloatArray, longitude: FloatArray, lines: FloatArray
) -> None:
    """Draw all sites, those without a value on top, where they are fewer and may matter more."""
    width = dot_size_pt(shown.values.size)
    size, rim = width**2, width / 9
    has = shown.blank == Blank.SHOWN
    tone = np.array(tones(lines.size + 1))[np.searchsorted(lines, shown.values[has], side="right")]
    axes.scatter(longitude[has], latitude[has], s=size, c=tone, edgecolors=INK, linewidths=rim, zorder=6)
    for blank, pattern in PATTERNS.items():
        of_it = shown.blank == blank
        style = {"c": INK} if pattern.mark == "x" else {"facecolors": PAPER, "edgecolors": INK}
        axes.scatter(
            longitude[of_it], latitude[of_it], s=size, marker=pattern.mark, linewidths=0.9, zorder=7, **style
        )
