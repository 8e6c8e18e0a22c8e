"""A drawing's key: samples with their words, line by line as they have room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.pages.pictures.charts import LETTER, MARGIN, WIDTH

SAMPLE, APART, LINE = 26.0, 12.0, 18.0


@dataclass(frozen=True, slots=True)
class KeyItem:
    """A sample by its name, its place, and what it means."""

    name: str
    x: float
    y: float  # of the line's top
    words: str


def laid_out(items: Sequence[tuple[str, str]]) -> tuple[tuple[KeyItem, ...], float]:
    """The items in lines, y from 0 on, and the height of all lines."""
    found: list[KeyItem] = []
    x, y = MARGIN, 0.0
    for name, words in items:
        wide = SAMPLE + LETTER * len(words)
        if x > MARGIN and x + wide > WIDTH - MARGIN:
            x, y = MARGIN, y + LINE
        found.append(KeyItem(name, round(x, 1), y, words))
        x += wide + APART
    return tuple(found), y + LINE if items else 0.0
