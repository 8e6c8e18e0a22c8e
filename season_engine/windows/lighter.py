"""Less root work than a full repotting, which may still be done once that is over."""

from __future__ import annotations

from dataclasses import replace

from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.why_today import LightTrimOnly, RescueNow


def light_trim(prospect: Prospect, found: Assessment, shelter: bool | None = None) -> LightTrimOnly | None:
    """A light trim of the roots, where what was asked about is closed but that may still be done."""
    if found.verdict != "closed" or found.severity == "light trim":
        return None
    lighter = [
        assess(prospect, window, shelter)
        for window in prospect.species.windows
        if window.job == found.job and window.severity == "light trim"
    ]
    ends = [(one.closes.p50, one.closes.by == "calendar") for one in lighter if one.may_be_done]
    last = max(((until, fixed) for until, fixed in ends if until), default=None)
    return LightTrimOnly(*last) if last else None


def with_light_trim(found: Assessment, lighter: LightTrimOnly | None) -> Assessment:
    """The assessment with the light trim offered, but to a tree that is left alone or has to be rescued."""
    if lighter is None or found.left_alone or isinstance(found.today_why, RescueNow):
        return found
    return replace(found, today_why=lighter)
