"""The drawings that `drawings.html` makes from numbers, for the page and for the pictures of a mail."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from season_engine.facts import Text
from season_engine.pages.pictures.days_ahead import days_ahead_drawing
from season_engine.pages.pictures.pair_dots import pair_dots
from season_engine.pages.pictures.season_lines import season_lines
from season_engine.pages.pictures.tree_year import tree_year, tree_years
from season_engine.words import notices, prose
from season_engine.words.speech import language, said, say

KEYS: Mapping[str, Text] = {
    "year": Text(
        "A bar fades in while it isn't sure yet that a job's time has come, and out while that may be over; "
        "in full it runs from middle date to middle date. Thick and dark: the tree is due for it; thin and "
        "light: it may have it."
    ),
    "days": Text(
        "Each band holds 8 chances in 10, the line in it is the middle. Nights are those at the pots."
    ),
    "sum": Text("Each thin line is a past season; the dashed one has been nearest to this season so far."),
    "pairs": Text("The middle date of the next opening at each yard, the greatest difference at the top."),
}


def say_in_page(template: str | Text, **values: str) -> Markup:
    """A text of our own for a template, in the language that is spoken; its values are escaped."""
    return Markup(say(template)).format(**values) if values else Markup(say(template))


WORDS: Mapping[str, Any] = {
    "notices": notices,
    "prose": prose,
    "keys": KEYS,
    "tree_years": tree_years,
    "say": say_in_page,
    "said": said,
    "language": language,
}
DRAWERS: Mapping[str, Any] = {
    **WORDS,
    "tree_year": tree_year,
    "days_ahead_drawing": days_ahead_drawing,
    "season_lines": season_lines,
    "pair_dots": pair_dots,
}
