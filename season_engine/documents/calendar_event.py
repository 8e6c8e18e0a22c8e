"""One event of a calendar to subscribe to."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from icalendar import Alarm, Event

from season_engine.words import prose

REMINDED_AT_HOUR = 9  # by the grower's own clock
_DOMAIN = "season-engine.invalid"  # a name nobody can own (RFC 2606)


@dataclass(frozen=True, slots=True)
class Entry:
    """What an event says."""

    key: Sequence[str]  # that it is known by from week to week
    first: dt.date
    after: dt.date  # the first day that is no longer in it
    title: str
    description: Iterable[str]
    site: str
    sure: bool
    notice_days: int | None = None  # before its first day, for a reminder; None: none


def event_of(entry: Entry, as_of: dt.date) -> Event:
    """The event, as it stands on a day."""
    event = Event()
    event.add("uid", f"{hashlib.sha256(json.dumps(entry.key).encode()).hexdigest()[:32]}@{_DOMAIN}")
    event.add("dtstamp", dt.datetime.combine(as_of, dt.time(), dt.UTC))
    event.add("sequence", as_of.toordinal())
    event.add("dtstart", entry.first)
    event.add("dtend", entry.after)
    event.add("summary", entry.title)
    event.add("description", "\n".join(entry.description))
    event.add("location", prose.plain(entry.site))
    event.add("status", "CONFIRMED" if entry.sure else "TENTATIVE")
    event.add("transp", "TRANSPARENT")
    if entry.notice_days is not None:
        event.add_component(_alarm(entry.title, entry.notice_days))
    return event


def _alarm(title: str, notice_days: int) -> Alarm:
    """A reminder so many days before; counted from a day, a trigger is from its midnight (3.8.6.3)."""
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", title)
    alarm.add("trigger", dt.timedelta(days=-notice_days, hours=REMINDED_AT_HOUR))
    return alarm
