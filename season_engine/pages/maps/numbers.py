"""Numbers on a map: thinned so that none covers another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.pages.maps.inks import INK, PAPER

FloatArray = NDArray[np.float64]
Box = tuple[float, float, float, float]  # left, bottom, right, top [pixels]

AIR_IN = 0.025  # inches kept free around each number
SPACING_IN = 0.85  # between the numbers tried first
SIZE_PT = 7.5


class Board:
    """The room on the map that is taken, in pixels."""

    def __init__(self, inside: Box) -> None:
        self.inside = inside
        self._taken: list[Box] = []

    def take(self, box: Box) -> bool:
        """Take a box if it is free and lies inside; say whether it was."""
        left, bottom, right, top = box
        west, south, east, north = self.inside
        if left < west or bottom < south or right > east or top > north or not self._free(box):
            return False
        self._taken.append(box)
        return True

    def keep_free(self, boxes: Iterable[Box]) -> None:
        """Let no number cover these."""
        self._taken += boxes

    def _free(self, box: Box) -> bool:
        if not self._taken:
            return True
        taken = np.array(self._taken)
        apart = (
            (taken[:, 0] >= box[2])
            | (taken[:, 2] <= box[0])
            | (taken[:, 1] >= box[3])
            | (taken[:, 3] <= box[1])
        )
        return bool(apart.all())


def halo(width: float = 1.8) -> list[Any]:
    """A rim of paper around letters, so that they can be read on any tone and over lines."""
    from matplotlib.patheffects import withStroke

    return [withStroke(linewidth=width, foreground=PAPER, alpha=0.85)]


def in_order(places: FloatArray, values: FloatArray, dpi: float, *, closely: bool) -> list[int]:
    """Which places [site, x and y in pixels] get a number first: the extremes, then evenly over the map.

    `closely`: then more between them, where there is room.
    """
    chosen = [int(np.argmin(values)), int(np.argmax(values))]
    for spacing in (SPACING_IN, SPACING_IN / 2, SPACING_IN / 4) if closely else (SPACING_IN,):
        chosen += _one_a_square(places, spacing * dpi)
    return list(dict.fromkeys(chosen))


def _one_a_square(places: FloatArray, spacing: float) -> list[int]:
    """Of each square the place nearest to its middle, from the top left on."""
    squares = np.floor(places / spacing)
    off = np.hypot(*(places / spacing - squares - 0.5).T)
    order = np.lexsort((off, squares[:, 0], -squares[:, 1]))
    ordered = squares[order]
    first = np.ones(order.size, dtype=bool)
    first[1:] = (np.diff(ordered, axis=0) != 0).any(axis=1)
    return [int(one) for one in order[first]]


def write_numbers(
    axes: Any,
    board: Board,
    places: FloatArray,
    words: Sequence[str],
    order: Iterable[int],
    gap_in: float,
    *,
    on_paper: bool,
) -> list[int]:
    """Write the words of places [site, x and y in pixels] beside their dots, `gap_in` inches away.

    In this order, where there is room; returns which were written. `on_paper`: over a crowd of dots, which
    words hide where they stand.
    """
    dpi = axes.figure.dpi
    paper = {"bbox": {"facecolor": PAPER, "linewidth": 0, "pad": 0.6}} if on_paper else {}
    written = []
    for one in order:
        size = _size(axes, words[one])
        for left, bottom in _beside(places[one], size, gap_in * dpi):
            if board.take(with_air((left, bottom, left + size[0], bottom + size[1]), AIR_IN * dpi)):
                at = axes.transData.inverted().transform((left, bottom))
                style = {"color": INK, "va": "bottom", "zorder": 9, "path_effects": halo(), **paper}
                axes.text(*at, words[one], fontsize=SIZE_PT, **style)
                written.append(one)
                break
    return written


def _size(axes: Any, words: str) -> tuple[float, float]:
    """Width and height of words in pixels."""
    from matplotlib.font_manager import FontProperties

    renderer = axes.figure.canvas.get_renderer()
    width, height, _ = renderer.get_text_width_height_descent(
        words, FontProperties(size=SIZE_PT), ismath=False
    )
    return width, height


def _beside(place: FloatArray, size: tuple[float, float], gap: float) -> Iterator[tuple[float, float]]:
    """Lower left corners right, left, above and below a place."""
    x, y = place
    width, height = size
    yield x + gap, y - height / 2
    yield x - gap - width, y - height / 2
    yield x - width / 2, y + gap
    yield x - width / 2, y - gap - height


def with_air(box: Box, air: float) -> Box:
    """A box with so many pixels more on each side."""
    return box[0] - air, box[1] - air, box[2] + air, box[3] + air
