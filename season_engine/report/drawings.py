"""The drawings that `drawings.html` makes from numbers, for the page and for the pictures of a mail."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from season_engine.report import phrases
from season_engine.report.bands import sum_chart
from season_engine.report.frost_steps import frost_steps
from season_engine.report.opening_curve import opening_curve
from season_engine.report.ribbons import strip

KEYS: Mapping[str, str] = {
    "strip": (
        "Solid: the chance of being open this season, at full height certain. "
        "Hatching and the thin double line: the same in past seasons."
    ),
    "opening": (
        "Solid: the chance that the window has opened by a day, this season. Hatching and the thin double "
        "line: the same in past seasons. The dashed line is what the job wants, the upright line when it is "
        "reached."
    ),
    "frost": "Figures are the chance in 100 of at least one night as cold as that, or colder, at the pots.",
    "sum": (
        "Thick line: this season. Dashed line: the middle past season. "
        "Hatching: where 8 in 10 past seasons lay."
    ),
}

DRAWERS: Mapping[str, Any] = {
    "phrases": phrases,
    "keys": KEYS,
    "strip": strip,
    "opening_curve": opening_curve,
    "frost_steps": frost_steps,
    "sum_chart": sum_chart,
}
