"""The drawings that `drawings.html` makes from numbers, for the page and for the pictures of a mail."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from season_engine.facts import Text
from season_engine.pages.pictures.bands import sum_chart
from season_engine.pages.pictures.frost_steps import frost_steps
from season_engine.pages.pictures.opening_curve import opening_curve
from season_engine.pages.pictures.ribbons import strip
from season_engine.words import notices, prose, verdicts
from season_engine.words.speech import language, said, say

KEYS: Mapping[str, Text] = {
    "strip": Text(
        "Solid: the chance of being open this season, at full height certain. "
        "Hatching and the thin double line: the same in past seasons."
    ),
    "opening": Text(
        "Solid: the chance that the window has opened by a day, this season. Hatching and the thin double "
        "line: the same in past seasons. The dashed line is what the job wants, the upright line when it is "
        "reached."
    ),
    "frost": Text(
        "Figures are the chance in 100 of at least one night as cold as that, or colder, at the pots."
    ),
    "sum": Text(
        "Thick line: this season. Dashed line: the middle past season. "
        "Hatching: where 8 in 10 past seasons lay."
    ),
}


def say_in_page(template: str | Text, **values: str) -> Markup:
    """A text of our own for a template, in the language that is spoken; its values are escaped."""
    return Markup(say(template)).format(**values) if values else Markup(say(template))


WORDS: Mapping[str, Any] = {
    "notices": notices,
    "prose": prose,
    "verdicts": verdicts,
    "keys": KEYS,
    "say": say_in_page,
    "said": said,
    "language": language,
}
DRAWERS: Mapping[str, Any] = {
    **WORDS,
    "strip": strip,
    "opening_curve": opening_curve,
    "frost_steps": frost_steps,
    "sum_chart": sum_chart,
}
