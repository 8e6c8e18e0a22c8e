"""Less root work than a full repotting, which may still be done once that is over."""

from __future__ import annotations

from dataclasses import replace

from season_engine.facts import Day
from season_engine.messages import Message
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.today import TreeState


def with_lighter_work(prospect: Prospect, found: Assessment, state: TreeState | None = None) -> Assessment:
    """The assessment, with a sentence where it is closed but a light trim of the roots may still be done."""
    if found.verdict != "closed" or found.severity == "light trim":
        return found
    lighter = [
        assess(prospect, window, state)
        for window in prospect.species.windows
        if window.job == found.job and window.severity == "light trim"
    ]
    last = max((one.closes.p50 for one in lighter if _may_be_done(one) and one.closes.p50), default=None)
    if last is None:
        return found
    still = Message("A light trim of the roots may still be done, until about {date}.", date=Day(last))
    return replace(found, today_why=Message("{first} {then}", first=found.today_why, then=still))


def _may_be_done(assessment: Assessment) -> bool:
    return assessment.today in ("do", "only-with-shelter")
