"""Less root work than a full repotting, which may still be done once that is over."""

from __future__ import annotations

from dataclasses import replace

from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.why_today import LightTrimOnly


def with_lighter_work(prospect: Prospect, found: Assessment, shelter: bool | None = None) -> Assessment:
    """The assessment, which says so where it is closed but a light trim of the roots may still be done."""
    if found.verdict != "closed" or found.severity == "light trim" or found.left_alone:
        return found
    lighter = [
        assess(prospect, window, shelter)
        for window in prospect.species.windows
        if window.job == found.job and window.severity == "light trim"
    ]
    ends = [(one.closes.p50, one.closes.by == "calendar") for one in lighter if _may_be_done(one)]
    last = max(((until, fixed) for until, fixed in ends if until), default=None)
    return found if last is None else replace(found, today_why=LightTrimOnly(*last))


def _may_be_done(assessment: Assessment) -> bool:
    return assessment.today in ("do", "only-with-shelter")
