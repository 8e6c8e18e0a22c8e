"""What is said once: units explained, what temperatures can't see, and that weather is invented."""

from __future__ import annotations

from season_engine.facts import Degrees, Text
from season_engine.words.speech import say

CHILL_PORTION = Text(
    "A chill portion is a unit of winter cold (dynamic model): a day or so of steady weather at about "
    "{degrees} banks one, frost and warmth bank little or nothing, and what is banked is kept.",
    values=(("degrees", Degrees(6.0)),),
)


HEAT_UNIT = Text("Heat counts the warmth of each day above a base temperature and adds it up.")


UNSEEN = Text(
    "Daily lowest and highest temperatures can't see hail, wind, rain, humidity or sun. Tie a freshly "
    "potted tree into its pot, and keep it out of wind until it no longer rocks."
)


DEMONSTRATION = Text("Yards, trees and weather are invented; work no tree by what is said here.")


INVENTED = Text("The weather is invented. It shows what a report looks like; work no tree by it.")


MARKED = Text("{told} (invented weather)")  # a name or title that may stand alone


def marked(told: str, *, invented: bool) -> str:
    """A name or title that may be read without the rest, with a word on invented weather where it is so."""
    return say(MARKED, told=told) if invented else told
