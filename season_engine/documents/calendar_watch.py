"""Days to walk the bench on: buds to look at this week, and nights and days that want cover."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from season_engine.advice.protect import Threat
from season_engine.documents.calendar_event import Entry
from season_engine.report.contents import SiteReport
from season_engine.windows.looks import Look
from season_engine.words import notices
from season_engine.words.first_screen import THREATS_TOLD, protect_sentence, protect_title
from season_engine.words.looks import look_answer, look_lead, look_text
from season_engine.words.speech import said, say

_DAY = dt.timedelta(days=1)
LOOK_DAYS = 3  # to find the time in


def look_entries(site: SiteReport, as_of: dt.date) -> Iterator[Entry]:
    """The buds of the first screen, on the days from the report on; next week's report moves them."""
    for look in site.look_at:
        yield _entry(
            site,
            key=("look", look.species, look.marker, site.site.season_on(as_of).label),
            title=say("Look at: {tree}", tree=look_lead(site, look)),
            told=_look_words(site, look),
            first=as_of,
            count=LOOK_DAYS,
        )


def _look_words(site: SiteReport, look: Look) -> Iterator[str]:
    yield look_text(look)
    yield look_answer(site)


def shelter_entries(site: SiteReport, as_of: dt.date) -> Iterator[Entry]:
    """What the first screen wants covered: on the eve of a forecast night, else at once."""
    for threat in site.first.protect[:THREATS_TOLD]:
        yield _entry(
            site,
            key=("shelter", threat.hazard.name, repr(threat.event), threat.why, min(threat.trees)),
            title=protect_title(site, threat),
            told=iter([protect_sentence(site, threat, as_of)]),
            first=_day_to_cover(threat, as_of),
            count=1,
        )


def _day_to_cover(threat: Threat, as_of: dt.date) -> dt.date:
    on = threat.hazard.forecast_on
    if on is None:
        return as_of
    return max(as_of, on - _DAY) if threat.hazard.cold else on


def _entry(
    site: SiteReport, *, key: tuple[str, ...], title: str, told: Iterator[str], first: dt.date, count: int
) -> Entry:
    if site.invented:
        told = iter([said(notices.INVENTED), *told])
    return Entry(
        key=(site.site.name, *key),
        first=first,
        after=first + count * _DAY,
        title=notices.marked(title, invented=site.invented),
        description=tuple(told),
        site=site.site.name,
        sure=True,
    )
