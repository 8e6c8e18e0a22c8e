"""The key of a map: samples of its tones, lines, dots and patterns, each with its words."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.maps.shown import HEMISPHERES, Blank, Shown
from season_engine.pages.maps.inks import INK, PAPER, PATTERNS, SOFT, tones
from season_engine.words import batch_map as words

Kind = Literal["heading", "tone", "line", "dot", "empty"]
ROW_IN, LINE_IN, SAMPLE_IN, SIZE_PT = (
    0.07,
    0.135,
    0.36,
    8.0,
)  # between rows; a line of words; a sample's width
LETTER_IN = 0.066  # mean width of a letter of that size


@dataclass(frozen=True, slots=True)
class Row:
    """A sample and its words, in lines; `tone` of a band, `sample` on a line or beside a dot."""

    kind: Kind | Blank
    words: tuple[str, ...]
    tone: tuple[float, ...] = ()
    sample: str = ""

    @property
    def height_in(self) -> float:
        """Inches, with the space below."""
        return len(self.words) * LINE_IN + ROW_IN


def key_rows(
    shown: Shown, lines: NDArray[np.float64], *, cells: bool, empty: bool, width_in: float
) -> list[Row]:
    """All rows of the key that this map has a use for; words are wrapped to a column so wide."""

    def wrapped(told: str, indent: float = SAMPLE_IN) -> tuple[str, ...]:
        return tuple(textwrap.wrap(told, max(12, int((width_in - indent) / LETTER_IN)))) or ("",)

    heading = Row("heading", wrapped(words.key_heading(shown), 0.0))
    told = words.bands(shown, lines)
    rows = [
        Row("tone", tuple(line for one in band for line in wrapped(one)), tone)
        for band, tone in zip(told, tones(len(told)), strict=True)
    ]
    if cells and lines.size and _crossed(shown, lines):
        rows.append(Row("line", wrapped(words.line_words(shown))))
    rows.append(Row("dot", wrapped(words.dot_words(cells=cells))))
    for blank in PATTERNS:
        if count := int(np.count_nonzero(shown.blank == blank)):
            rows.append(Row(blank, wrapped(words.blank_words(shown, blank, count))))
    if cells and empty:
        rows.append(Row("empty", wrapped(words.empty_words())))
    return [heading, *rows]


def _crossed(shown: Shown, lines: NDArray[np.float64]) -> bool:
    """Whether a line runs through a hemisphere at all."""
    halves = [shown.values[shown.south == (half == "south")] for half in HEMISPHERES]
    known = [half[~np.isnan(half)] for half in halves]
    return any(((lines > half.min()) & (lines <= half.max())).any() for half in known if half.size)


def in_columns(rows: Sequence[Row], columns: int) -> list[list[Row]]:
    """The rows in their order, in columns about as long as each other."""
    share = sum(row.height_in for row in rows) / columns
    filled: list[list[Row]] = [[]]
    for row in rows:
        height = sum(one.height_in for one in filled[-1])
        if len(filled) < columns and height and height + row.height_in / 2 > share:
            filled.append([])
        filled[-1].append(row)
    return filled


def height_in(columns: Sequence[Sequence[Row]]) -> float:
    """Inches that the longest column takes."""
    return max(sum(row.height_in for row in column) for column in columns)


def draw_key(axes: Any, columns: Sequence[Sequence[Row]], column_in: float, *, cells: bool) -> None:
    """Draw the key into axes whose units are inches, from its top left."""
    top = axes.get_ylim()[1]
    for place, column in enumerate(columns):
        x, y = place * column_in, top
        for row in column:
            _sample(axes, row, x, y, cells=cells)
            indent = 0.0 if row.kind == "heading" else SAMPLE_IN
            axes.text(
                *(x + indent, y, "\n".join(row.words)),
                fontsize=SIZE_PT,
                fontweight="bold" if row.kind == "heading" else "normal",
                va="top",
                linespacing=1.15,
            )
            y -= row.height_in


def _sample(axes: Any, row: Row, x: float, y: float, *, cells: bool) -> None:
    middle, right = y - LINE_IN / 2, x + SAMPLE_IN - 0.1
    match row.kind:
        case "tone":
            _box(axes, x, y, facecolor=row.tone, edgecolor=INK)
        case "line":
            axes.plot([x, right], [middle, middle], color=INK, linewidth=0.8)
        case "dot":
            axes.plot(
                [x + 0.13],
                [middle],
                marker="o",
                color=INK,
                markersize=2.2 if cells else 5,
                mfc=INK if cells else PAPER,
            )
        case "empty":
            _box(axes, x, y, facecolor=PAPER, edgecolor=INK)
        case Blank() as blank if cells:
            _box(axes, x, y, facecolor=PAPER, edgecolor=SOFT, hatch=PATTERNS[blank].hatch)
        case Blank() as blank:
            axes.plot(
                [x + 0.13],
                [middle],
                marker=PATTERNS[blank].mark,
                color=INK,
                mfc=PAPER,
                markersize=6,
                ls="none",
            )


def _box(axes: Any, x: float, y: float, **style: Any) -> None:
    from matplotlib.patches import Rectangle

    corner = (x, y - LINE_IN)
    axes.add_patch(Rectangle(corner, SAMPLE_IN - 0.1, LINE_IN, linewidth=0.6, clip_on=False, **style))
