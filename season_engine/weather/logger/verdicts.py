"""Whether words that explain a mark call the readings that bear it good or bad."""

from __future__ import annotations

import re
from typing import Literal

from season_engine.weather.logger.vocabulary import means, plain

Verdict = Literal["good", "bad", "unclear"]
_NEGATIONS = (
    r"(?:no|not|non|kein\w*|nicht|ohne|sans|sin|without|senza|sem|geen|niet|inga|ingen|inte|utan|uden|ikke"
    r"|bez|ei|nie)"
)


def verdict_of(said: str) -> Verdict:
    """Whether words call a reading good or bad; a doubtful or an estimated one is neither."""
    text = re.sub(r"[(){}\[\]]", " ", said)
    good, bad = (means(text, "flags", kind) for kind in ("good", "bad"))
    denied = re.search(rf"(?<!\w){_NEGATIONS}\s+(\w+)", plain(text))
    if denied and not means(text, "flags", "never"):
        if means(denied[1], "flags", "bad"):
            return "good"
        if means(denied[1], "flags", "good") or means(denied[1], "flags", "still_good"):
            return "bad"
    if means(text, "flags", "still_good") and not denied and not means(text, "flags", "never"):
        return "good"
    if bad or means(text, "flags", "never"):
        return "bad"
    if means(text, "flags", "by_hand"):
        return "good"
    return "good" if good and not means(text, "flags", "doubtful") else "unclear"
