"""Inks and patterns of a map: one hue from light to dark, shapes and hatching for all else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from season_engine.maps.shown import Blank

PAPER, INK, SOFT = "#fbfcfa", "#18211d", "#4b5852"
LIGHTEST, DARKEST = (0xE4, 0xED, 0xE8), (0x6F, 0x9A, 0x8A)  # words in ink stay readable on the darkest
FONT = "DejaVu Sans"  # comes with the library that draws


@dataclass(frozen=True, slots=True)
class Pattern:
    """How a place without a value is drawn: a hatching of its cell, or a mark of its dot."""

    hatch: str
    mark: str


PATTERNS: Mapping[Blank, Pattern] = {
    Blank.NOT_HERE: Pattern("////", "D"),
    Blank.OTHER_SEASON: Pattern("...", "^"),
    Blank.NO_DATE: Pattern("---", "s"),
    Blank.REFUSED: Pattern("xxxx", "x"),
}
RC: Mapping[str, Any] = {
    "font.family": FONT,
    "text.color": INK,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "hatch.linewidth": 0.7,
}


def tones(count: int) -> list[tuple[float, ...]]:
    """So many tones from light to dark, red, green and blue from 0 to 1."""
    shares = np.linspace(0.0, 1.0, count)[:, None] if count > 1 else np.array([[0.35]])
    light, dark = np.array(LIGHTEST) / 255.0, np.array(DARKEST) / 255.0
    return [tuple(tone) for tone in (light + shares * (dark - light)).tolist()]
