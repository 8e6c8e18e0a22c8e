"""What a site's days rest on, in words."""

from __future__ import annotations

from season_engine.facts import Text
from season_engine.weather.series import Weather
from season_engine.weather.shares import shares
from season_engine.words.speech import decimal, say

MOST_SHOWN_SHARE = 0.999  # only a record without any gap is whole


def shares_sentence(weather: Weather) -> str:
    """Parts of the days that were read here, taken from a second source, and filled."""
    parts = shares(weather)
    if parts.observed == 1.0:
        return say("Every day has both readings.")
    observed, adjusted = _percent(parts.observed), _percent(parts.adjusted)
    if not parts.adjusted:
        return say("{share} of the days have both readings; the others are filled.", share=observed)
    told = (
        Text(
            "{share} of the days have both readings; {adjusted} come from the second source, adjusted to "
            "this yard; the others are filled."
        )
        if parts.filled
        else Text(
            "{share} of the days have both readings; {adjusted} come from the second source, adjusted to "
            "this yard."
        )
    )
    return say(told, share=observed, adjusted=adjusted)


def _percent(share: float) -> str:
    return decimal(f"{min(share, MOST_SHOWN_SHARE):.1%}".replace("%", " %"))
