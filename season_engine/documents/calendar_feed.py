"""The windows of the grower's trees, and what follows jobs, to subscribe to (iCalendar, RFC 5545).

An event is known by site, species, job, window and season, so that next week's feed moves it instead of
adding another. A window that has closed, or doesn't come here any more, is not in the feed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from icalendar import Calendar, Event, Timezone, TimezoneStandard

from season_engine.documents.calendar_event import Entry, event_of
from season_engine.documents.calendar_follow_ups import NAMES_IN_A_TITLE, follow_up_entries
from season_engine.facts import Text
from season_engine.markers.base import By
from season_engine.report.contents import Report, SiteReport, name_of_tree
from season_engine.species.jobs import JOBS
from season_engine.windows.assessment import Assessment, by_of
from season_engine.words import naming, notices, prose, timing, verdicts
from season_engine.words.cautions import caution_sentences
from season_engine.words.one_hazard import hazard_sentences
from season_engine.words.speech import language, said, say, speaking
from season_engine.words.today import today_why
from season_engine.words.window_notes import note_text

FEED = "season-calendar.ics"
_DAY = dt.timedelta(days=1)
_SHOWN = ("wait", "soon", "open", "last-call")


@dataclass(frozen=True, slots=True)
class _Span:
    """One season's window of one tree, or of a species."""

    assessment: Assessment
    season: str
    opens: dt.date
    closes: dt.date  # the first day it is closed
    unsure: bool
    by: By
    told: str  # its dates and odds


def season_calendar(report: Report) -> bytes:
    """The feed, the same to the byte for the same report."""
    with speaking(report.language, report.units):
        return _calendar(report)


def _calendar(report: Report) -> bytes:
    calendar = Calendar()
    calendar.add("prodid", f"-//season_engine//season calendar//{language().upper()}")
    calendar.add("version", "2.0")
    name = notices.marked(say("Season calendar"), invented=report.invented)
    calendar.add("name", name)  # RFC 7986; the next line is what most programs read
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", _DAY, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "P1D")
    events = [event for site in report.sites for event in _events(site, report)]
    for event in sorted(events, key=lambda one: (str(one.start), one.uid)):
        calendar.add_component(event)
    if not events:
        calendar.add_component(_utc())
    return bytes(calendar.to_ical())


def _events(site: SiteReport, report: Report) -> Iterator[Event]:
    """Events of the grower's trees, or of every species' heavy jobs; none of the rounds of small care."""
    judged = site.trees or [a for a in site.windows if JOBS[a.job].heavy]
    together: dict[tuple[str, ...], list[_Span]] = {}
    for a in judged:
        if JOBS[a.job].told_in_full and (span := _span(a)) is not None:
            together.setdefault((a.site, a.species, a.job, a.window, span.season), []).append(span)
    for key, spans in together.items():
        yield _event(key, spans, site, report)
    yield from (event_of(entry, report.as_of) for entry in follow_up_entries(site, report.as_of))


def _span(a: Assessment) -> _Span | None:
    """The window judged, the next one where that is closed, or nothing."""
    if a.verdict in _SHOWN:
        season, standing, left, told = a.season, a.standing, a.left_alone, verdicts.verdict_sentence(a)
        by = a.by
    elif a.verdict == "closed" and a.next is not None:
        ahead = a.next
        season, standing, left = ahead.season, ahead.standing, ahead.left
        told = verdicts.next_words(a)
        by = by_of(ahead.opens.by, ahead.closes.by)
    else:
        return None
    if left or a.seldom_well is not None or standing.opens is None or standing.closes is None:
        return None
    closes = max(standing.closes, standing.opens + _DAY)
    return _Span(a, season, standing.opens, closes, standing.unsure, by, told)


def _event(key: Sequence[str], spans: Sequence[_Span], site: SiteReport, report: Report) -> Event:
    """One event for all trees of a species that share a window, on the days that suit the most exposed."""
    opens = max(span.opens for span in spans)
    closes = max(min(span.closes for span in spans), opens + _DAY)
    first = max(spans, key=lambda span: span.opens)
    sure = not first.unsure and first.assessment.verdict in ("open", "last-call")
    entry = Entry(
        key=key,
        first=opens,
        after=closes,
        title=_title(first.assessment, spans, site),
        description=tuple(_description(first, spans, site)),
        site=first.assessment.site,
        sure=sure,
    )
    return event_of(entry, report.as_of)


def _title(a: Assessment, spans: Iterable[_Span], site: SiteReport) -> str:
    """``Repotting (spring): Japanese maple — Ember``."""
    job = naming.job_and_window(a)
    names = [_tree_name(site, span) for span in spans if span.assessment.tree]
    whose = f" — {prose.some_of(names, NAMES_IN_A_TITLE)}" if names else ""
    title = f"{prose.capital(job)}: {naming.species_name(a)}{whose}"
    return notices.marked(title, invented=site.invented)


def _description(first: _Span, spans: Sequence[_Span], site: SiteReport) -> Iterator[str]:
    a = first.assessment
    if site.invented:
        yield said(notices.INVENTED)
    trees = [_tree_with_dates(span, first, site) for span in spans if span.assessment.tree]
    if trees:
        yield say("Trees: {trees}.", trees=prose.listing(trees))
    yield first.told
    if a.verdict in ("open", "last-call"):
        yield from dict.fromkeys(_advice(span, spans, site) for span in spans)
        yield from hazard_sentences(a.hazards)
    forecast = Text(
        "On these days the window is open, and not yet closed, with the odds this job wants: a forecast "
        "as of {date}, which each week's report moves."
    )
    fixed = Text("These days are the calendar's, the same every year, whatever the weather.")
    yield say(fixed) if first.by == "calendar" else say(forecast, date=timing.full_day(a.as_of))
    cautions = (caution for span in spans for caution in span.assessment.cautions)
    yield from caution_sentences(cautions)
    yield from (prose.sentence(text) for text in (*map(note_text, a.notes), *map(said, a.aftercare)))


def _advice(span: _Span, spans: Sequence[_Span], site: SiteReport) -> str:
    a, why = span.assessment, today_why(span.assessment.today_why)
    alike = [
        _tree_name(site, other)
        for other in spans
        if other.assessment.tree
        and (other.assessment.today, today_why(other.assessment.today_why)) == (a.today, why)
    ]
    whose = f", {prose.listing(alike)}" if len(alike) < len(spans) else ""
    today = verdicts.today_within(a)
    date = timing.day(a.as_of, a.as_of)
    told = say("On {date}{trees}: {advice}.", date=date, trees=whose, advice=today)
    return f"{told} {prose.sentence(why)}"


def _tree_name(site: SiteReport, span: _Span) -> str:
    return prose.plain(name_of_tree(site, span.assessment.tree or ""))


def _tree_with_dates(span: _Span, first: _Span, site: SiteReport) -> str:
    """The tree, with days of its own where they are others, as those of one that can go under cover."""
    name = _tree_name(site, span)
    apart = max(abs((span.opens - first.opens).days), abs((span.closes - first.closes).days))
    if apart <= timing.AS_USUAL_DAYS:
        return name
    as_of = span.assessment.as_of
    last = span.closes - _DAY
    return say(
        "{tree} (from {first} to {last})",
        tree=name,
        first=timing.short_day(span.opens, as_of),
        last=timing.short_day(last, as_of),
    )


def _utc() -> Timezone:
    """What an empty feed holds: the standard asks for one component at least."""
    zone, standard = Timezone(), TimezoneStandard()
    zone.add("tzid", "UTC")
    standard.add("dtstart", dt.datetime(1970, 1, 1))
    standard.add("tzoffsetfrom", dt.timedelta())
    standard.add("tzoffsetto", dt.timedelta())
    zone.add_component(standard)
    return zone
