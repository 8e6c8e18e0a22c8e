"""Days to act on: when a window opens for the trees that are due or may, and its last days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from season_engine.documents.calendar_event import Entry
from season_engine.documents.calendar_spans import Shared, description, fixed_or, shared_windows, whose
from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.words import naming, notices
from season_engine.words.speech import say

AHEAD_DAYS = 120  # as far as what follows jobs is told; what comes later stands among the windows
LAST_DAYS = 3  # of a window
NOTICE_DAYS = 4  # before these: a week before it closes, so that a weekend lies between
_DAY = dt.timedelta(days=1)


def day_entries(site: SiteReport, as_of: dt.date) -> Iterator[Entry]:
    """Openings and last calls until `AHEAD_DAYS` ahead; the first day a window opens isn't told again."""
    until = as_of + dt.timedelta(days=AHEAD_DAYS)
    for shared in shared_windows(site):
        if as_of <= shared.opens <= until:
            yield _opening(shared)
        if as_of < shared.closes <= until + _DAY:
            yield _last_call(shared)


def _opening(shared: Shared) -> Entry:
    forecast = Text(
        "From this day on the window is open with the odds this job wants: a forecast as of {date}, which "
        "each week's report moves."
    )
    rests_on = fixed_or(forecast, shared.first.opens_by, shared.first)
    title = say("Opens: {window}", window=_window(shared))
    return _entry(shared, "opens", title, rests_on, shared.opens, shared.opens + _DAY)


def _last_call(shared: Shared) -> Entry:
    forecast = Text(
        "After these days the odds that the window is still open are less than this job wants: a forecast "
        "as of {date}, which each week's report moves."
    )
    rests_on = fixed_or(forecast, shared.first.closes_by, shared.first)
    title = say("Last call: {window}", window=_window(shared))
    first = max(shared.opens, shared.closes - dt.timedelta(days=LAST_DAYS))
    return _entry(shared, "last call", title, rests_on, first, shared.closes, NOTICE_DAYS)


def _entry(
    shared: Shared,
    kind: str,
    title: str,
    rests_on: str,
    first: dt.date,
    after: dt.date,
    notice_days: int | None = None,
) -> Entry:
    return Entry(
        key=(*shared.key, kind),
        first=first,
        after=after,
        title=notices.marked(title, invented=shared.site.invented),
        description=tuple(description(shared, rests_on)),
        site=shared.first.assessment.site,
        sure=shared.sure,
        notice_days=notice_days,
    )


def _window(shared: Shared) -> str:
    """``repotting (spring) of Japanese maple — Ember``."""
    a = shared.first.assessment
    return f"{naming.job_of(naming.job_and_window(a), naming.species_name(a))}{whose(shared)}"
