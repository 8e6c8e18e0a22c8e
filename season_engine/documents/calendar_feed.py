"""Two calendars to subscribe to (iCalendar, RFC 5545): what to do on which days, and windows as spans.

The first holds days a person acts on: a window opens, its last call, buds to look at, what follows jobs,
what wants cover. The second holds the windows, each on all of its days.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from icalendar import Calendar, Timezone, TimezoneStandard

from season_engine.documents.calendar_days import day_entries
from season_engine.documents.calendar_event import Entry, event_of
from season_engine.documents.calendar_follow_ups import follow_up_entries
from season_engine.documents.calendar_spans import window_entries
from season_engine.documents.calendar_watch import look_entries, shelter_entries
from season_engine.report.contents import Report, SiteReport
from season_engine.words import notices
from season_engine.words.speech import language, say, speaking

FEED = "season-calendar.ics"
WINDOWS = "season-windows.ics"


def season_calendar(report: Report) -> bytes:
    """Days to act on; the same to the byte for the same report."""
    with speaking(report.language, report.units):
        entries = [entry for site in report.sites for entry in _days(site, report.as_of)]
        return _calendar(report, say("Season calendar"), entries)


def season_windows(report: Report) -> bytes:
    """Windows as spans; the same to the byte for the same report."""
    with speaking(report.language, report.units):
        entries = [entry for site in report.sites for entry in window_entries(site)]
        return _calendar(report, say("Season windows"), entries)


def _days(site: SiteReport, as_of: dt.date) -> Iterator[Entry]:
    yield from day_entries(site, as_of)
    yield from look_entries(site, as_of)
    yield from follow_up_entries(site, as_of)
    yield from shelter_entries(site, as_of)


def _calendar(report: Report, title: str, entries: Iterable[Entry]) -> bytes:
    calendar = Calendar()
    calendar.add("prodid", f"-//season_engine//season calendar//{language().upper()}")
    calendar.add("version", "2.0")
    name = notices.marked(title, invented=report.invented)
    calendar.add("name", name)  # RFC 7986; the next line is what most programs read
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", dt.timedelta(days=1), parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "P1D")
    events = [event_of(entry, report.as_of) for entry in entries]
    for event in sorted(events, key=lambda one: (str(one.start), one.uid)):
        calendar.add_component(event)
    if not events:
        calendar.add_component(_utc())
    return bytes(calendar.to_ical())


def _utc() -> Timezone:
    """What an empty feed holds: the standard asks for one component at least."""
    zone, standard = Timezone(), TimezoneStandard()
    zone.add("tzid", "UTC")
    standard.add("dtstart", dt.datetime(1970, 1, 1))
    standard.add("tzoffsetfrom", dt.timedelta())
    standard.add("tzoffsetto", dt.timedelta())
    zone.add_component(standard)
    return zone
