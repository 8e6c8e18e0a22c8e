"""What a report says, to be kept; and what the one before said, to tell what moved since."""

from __future__ import annotations

import datetime as dt

from season_engine.advice.moves import Said
from season_engine.report.contents import Report
from season_engine.verify.own_record import Statement, said_of
from season_engine.windows.assessment import Assessment, End

LONGEST_LOOK_BACK_DAYS = 35  # an older report is forgotten, and what moved is told since a week ago


def said_before(previous: Statement | None, on: dt.date) -> tuple[dt.date, Said]:
    """The day of the report before, and the middle dates it gave; without one a week ago, and none."""
    if previous is None or (on - previous.as_of).days > LONGEST_LOOK_BACK_DAYS:
        return on - dt.timedelta(weeks=1), _nothing
    said = previous.by_key()

    def date(a: Assessment, end: End) -> dt.date | None:
        one = said.get((a.species, a.job, a.window, None))
        if one is None or one.season != a.season:
            return None
        return one.opens.p50 if end == "opens" else one.closes.p50

    return previous.as_of, date


def _nothing(_a: Assessment, _end: End) -> None:
    return None


def statements(report: Report, written: dt.date) -> list[Statement]:
    """What a report says, to be kept; nothing of invented weather, or where nothing was said."""
    return [
        Statement(report.as_of, written, site.site.name, tuple(said_of(a) for a in site.windows + site.trees))
        for site in report.sites
        if site.windows and not site.invented
    ]
