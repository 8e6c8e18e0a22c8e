"""Windows of the grower's trees as spans of days: those that trees of a species share, told as one.

A span is known by site, species, job, window and season, so that next week's feed moves it instead of
adding another. A window that has closed, or doesn't come here any more, has none.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from season_engine.documents.calendar_event import Entry
from season_engine.facts import Text
from season_engine.markers.base import By
from season_engine.report.contents import SiteReport, name_of_tree
from season_engine.species.jobs import JOBS
from season_engine.windows.assessment import AT_HAND, Assessment, by_of
from season_engine.words import naming, notices, prose, timing, verdicts
from season_engine.words.cautions import caution_sentences
from season_engine.words.one_hazard import hazard_sentences
from season_engine.words.speech import said, say
from season_engine.words.today import today_why
from season_engine.words.window_notes import note_text

NAMES_IN_A_TITLE = 3
_DAY = dt.timedelta(days=1)
_SHOWN = ("wait", *AT_HAND)


@dataclass(frozen=True, slots=True)
class Span:
    """One season's window of one tree, or of a species."""

    assessment: Assessment
    season: str
    opens: dt.date
    closes: dt.date  # the first day it is closed
    unsure: bool
    opens_by: By
    closes_by: By
    told: str  # its dates and odds


@dataclass(frozen=True, slots=True)
class Shared:
    """One window of all trees of a species that have it in a season."""

    key: tuple[str, ...]  # that it is known by from week to week
    spans: tuple[Span, ...]
    site: SiteReport

    @property
    def opens(self) -> dt.date:
        """The day from which it is open for the most exposed."""
        return max(span.opens for span in self.spans)

    @property
    def closes(self) -> dt.date:
        """The first day it is closed for the most exposed."""
        return max(min(span.closes for span in self.spans), self.opens + _DAY)

    @property
    def first(self) -> Span:
        """The one to speak of."""
        return max(self.spans, key=lambda span: span.opens)

    @property
    def sure(self) -> bool:
        """Whether it has opened, by more than the middle dates."""
        return not self.first.unsure and self.first.assessment.in_window


def shared_windows(site: SiteReport) -> Iterator[Shared]:
    """Windows of the grower's trees, or of every species' heavy jobs; none of the rounds of small care.

    None of a tree that is to be left without the job.
    """
    judged = site.trees or [a for a in site.windows if JOBS[a.job].heavy]
    together: dict[tuple[str, ...], list[Span]] = {}
    for a in judged:
        if JOBS[a.job].told_in_full and (span := _span(a)) is not None:
            together.setdefault((a.site, a.species, a.job, a.window, span.season), []).append(span)
    for key, spans in together.items():
        yield Shared(key, tuple(spans), site)


def window_entries(site: SiteReport) -> Iterator[Entry]:
    """Each window as an event on all of its days."""
    forecast = Text(
        "On these days the window is open, and not yet closed, with the odds this job wants: a forecast "
        "as of {date}, which each week's report moves."
    )
    for shared in shared_windows(site):
        first = shared.first
        rests_on = fixed_or(forecast, by_of(first.opens_by, first.closes_by), first)
        yield Entry(
            key=shared.key,
            first=shared.opens,
            after=shared.closes,
            title=_title(shared),
            description=tuple(description(shared, rests_on)),
            site=first.assessment.site,
            sure=shared.sure,
        )


def _span(a: Assessment) -> Span | None:
    """The window judged, the next one where that is closed, or nothing."""
    if a.verdict in _SHOWN:
        season, standing, left, told = a.season, a.standing, a.left_alone, verdicts.verdict_sentence(a)
        opens_by, closes_by = a.opens.by, a.closes.by
    elif a.verdict == "closed" and a.next is not None:
        ahead = a.next
        season, standing, left = ahead.season, ahead.standing, ahead.left
        told = verdicts.next_words(a)
        opens_by, closes_by = ahead.opens.by, ahead.closes.by
    else:
        return None
    if left or a.seldom_well is not None or standing.opens is None or standing.closes is None:
        return None
    closes = max(standing.closes, standing.opens + _DAY)
    return Span(a, season, standing.opens, closes, standing.unsure, opens_by, closes_by, told)


def _title(shared: Shared) -> str:
    """``Repotting (spring): Japanese maple — Ember``."""
    a = shared.first.assessment
    title = f"{prose.capital(naming.job_and_window(a))}: {naming.species_name(a)}{whose(shared)}"
    return notices.marked(title, invented=shared.site.invented)


def whose(shared: Shared) -> str:
    """`` — Ember``: the trees at the end of a title; empty where none are kept."""
    names = [_tree_name(shared.site, span) for span in shared.spans if span.assessment.tree]
    return f" — {prose.some_of(names, NAMES_IN_A_TITLE)}" if names else ""


def fixed_or(forecast: Text, by: By, first: Span) -> str:
    """What its days rest on: the calendar, or a forecast of a date."""
    fixed = Text("These days are the calendar's, the same every year, whatever the weather.")
    if by == "calendar":
        return say(fixed)
    return say(forecast, date=timing.full_day(first.assessment.as_of))


def description(shared: Shared, rests_on: str) -> Iterator[str]:
    """All that is to be known on its days."""
    first, spans, site = shared.first, shared.spans, shared.site
    a = first.assessment
    if site.invented:
        yield said(notices.INVENTED)
    trees = [_tree_with_dates(span, first, site) for span in spans if span.assessment.tree]
    if trees:
        yield say("Trees: {trees}.", trees=prose.listing(trees))
    yield first.told
    if a.in_window:
        yield from dict.fromkeys(_advice(span, spans, site) for span in spans)
        yield from hazard_sentences(a.hazards)
    yield rests_on
    cautions = (caution for span in spans for caution in span.assessment.cautions)
    yield from caution_sentences(cautions)
    yield from (prose.sentence(text) for text in (*map(note_text, a.notes), *map(said, a.aftercare)))


def _advice(span: Span, spans: Sequence[Span], site: SiteReport) -> str:
    a, why = span.assessment, today_why(span.assessment.today_why)
    alike = [
        _tree_name(site, other)
        for other in spans
        if other.assessment.tree
        and (other.assessment.today, today_why(other.assessment.today_why)) == (a.today, why)
    ]
    whose = f", {prose.listing(alike)}" if alike and len(alike) < len(spans) else ""
    today = verdicts.today_within(a)
    date = timing.day(a.as_of, a.as_of)
    told = say("On {date}{trees}: {advice}.", date=date, trees=whose, advice=today)
    return f"{told} {prose.sentence(why)}"


def _tree_name(site: SiteReport, span: Span) -> str:
    return prose.plain(name_of_tree(site, span.assessment.tree or ""))


def _tree_with_dates(span: Span, first: Span, site: SiteReport) -> str:
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
