"""What a site's days rest on, in words."""

from __future__ import annotations

from season_engine.weather.series import Weather
from season_engine.weather.shares import shares

MOST_SHOWN_SHARE = 0.999  # only a record without any gap is whole


def shares_sentence(weather: Weather) -> str:
    """Parts of the days that were read here, taken from a second source, and filled."""
    parts = shares(weather)
    if parts.observed == 1.0:
        return "Every day has both readings."
    observed = f"{_percent(parts.observed)} of the days have both readings"
    if not parts.adjusted:
        return f"{observed}; the others are filled."
    adjusted = f"{_percent(parts.adjusted)} come from the second source, adjusted to this yard"
    if not parts.filled:
        return f"{observed}; {adjusted}."
    return f"{observed}; {adjusted}; the others are filled."


def _percent(share: float) -> str:
    return f"{min(share, MOST_SHOWN_SHARE):.1%}".replace("%", " %")
