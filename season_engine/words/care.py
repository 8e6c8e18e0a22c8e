"""The week's small care in a few lines: what starts and what stops in words, what goes on in one line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.windows.assessment import IN_WINDOW
from season_engine.windows.care import Care
from season_engine.windows.hazard import Hazard
from season_engine.words import naming, prose, timing
from season_engine.words.line import Line
from season_engine.words.one_hazard import forecast_text, hazard_brief
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import say

CHANGE_DAYS = 10  # a start or a stop within so many days gets words
JUST_DAYS = 3  # and so does one that was so few days ago
NAMES_SHOWN = 6
CHANGES_TOLD = 3  # of one job
_CHANGES = {
    "starts": Text("starts about {date} on {species}"),
    "stops": Text("stops about {date} on {species}"),
    "started": Text("started about {date} on {species}"),
    "stopped": Text("stopped about {date} on {species}"),
    "passes": Text('until about {date} on {species}, then "{window}"'),
}
_BY_CALENDAR = {
    "starts": Text("starts by the calendar, in {part}, on {species}"),
    "stops": Text("stops by the calendar, in {part}, on {species}"),
    "started": Text("started by the calendar, in {part}, on {species}"),
    "stopped": Text("stopped by the calendar, in {part}, on {species}"),
    "passes": Text('until {part}, by the calendar, on {species}, then "{window}"'),
}


@dataclass(frozen=True, order=True, slots=True)
class _Change:
    """What changes about a job, and when."""

    date: dt.date
    word: str
    by_calendar: bool
    window: str = ""  # with which it goes on


def care_lines(care: Iterable[Care], as_of: dt.date) -> tuple[tuple[str, str], ...]:
    """A job and what changes about it, one line a job; last, all that goes on as it is."""
    changes: dict[str, dict[_Change, list[str]]] = {}
    as_it_is: dict[str, list[Care]] = {}
    held: dict[Hazard, list[Care]] = {}
    for one in care:
        if one.for_none:
            continue
        if one.held is not None:
            held.setdefault(one.held, []).append(one)
        elif (change := _change(one, as_of)) is not None:
            changes.setdefault(_name(one), {}).setdefault(change, []).append(naming.species_name(one))
        elif one.verdict in IN_WINDOW:
            as_it_is.setdefault(one.job, []).append(one)
    lines = [(prose.capital(name), _words(told, as_of)) for name, told in changes.items()]
    if as_it_is:
        lines.append((say("Going on"), prose.sentence(prose.listing(_names(as_it_is.values())))))
    lines += [(say("On hold"), _held(hazard, waiting)) for hazard, waiting in held.items()]
    return tuple(lines)


def _held(hazard: Hazard, waiting: Iterable[Care]) -> str:
    """The jobs that wait, on which species, and for what."""
    jobs: dict[str, list[str]] = {}
    for one in waiting:
        jobs.setdefault(naming.job_name(one.job), []).append(naming.species_name(one))
    told = [
        naming.job_of(job, prose.some_of(list(dict.fromkeys(names)), NAMES_SHOWN))
        for job, names in jobs.items()
    ]
    why = forecast_text(hazard) or hazard_brief(hazard)
    return prose.sentence(say("{jobs}: {why}", jobs=prose.listing(told), why=why))


def _name(one: Care) -> str:
    """The job, and which of its windows where the species has several."""
    return naming.job_and_window(one) if one.one_of_several else naming.job_name(one.job)


def _names(jobs: Iterable[Sequence[Care]]) -> list[str]:
    """The jobs that go on, each with its windows where it has several on every species that is meant."""
    return [
        name
        for job in jobs
        for name in dict.fromkeys(
            _name(one) if all(other.one_of_several for other in job) else naming.job_name(one.job)
            for one in job
        )
    ]


def goes_on(one: Care, as_of: dt.date) -> bool:
    """Whether it is done now on any tree, or starts within the days that are told."""
    return not one.for_none and one.held is None and _near(one, as_of)


def spared_lines(site: SiteReport, as_of: dt.date) -> tuple[Line, ...]:
    """The trees left without what goes on, since their roots are worked now or lately; a line a job."""
    spared: dict[str, dict[str, None]] = {}
    for one in site.care:
        if _near(one, as_of):
            spared.setdefault(one.job, {}).update(dict.fromkeys(one.spared))
    told = Text("Not yet for {trees}: roots were worked within a month, or are to be worked now.")
    return tuple(
        Line(prose.capital(naming.job_name(job)), say(told, trees=tree_names(site, trees)))
        for job, trees in spared.items()
        if trees
    )


def _near(one: Care, as_of: dt.date) -> bool:
    change = _change(one, as_of)
    return one.verdict in IN_WINDOW or (change is not None and change.word == "starts")


def _change(one: Care, as_of: dt.date) -> _Change | None:
    if one.verdict == "not-here":
        return None
    if one.opens and -JUST_DAYS <= (one.opens - as_of).days <= CHANGE_DAYS:
        word = "starts" if one.opens >= as_of else "started"
        return _Change(one.opens, word, one.opens_by == "calendar")
    if one.closes and -JUST_DAYS <= (one.closes - as_of).days <= CHANGE_DAYS:
        by_calendar, ahead = one.closes_by == "calendar", one.closes >= as_of
        if one.goes_on_as:  # a tree brought in isn't put out again because the days for it are over
            return _Change(one.closes, "passes", by_calendar, one.goes_on_as) if ahead else None
        return _Change(one.closes, "stops" if ahead else "stopped", by_calendar)
    return None


def _words(told: dict[_Change, list[str]], as_of: dt.date) -> str:
    """`Starts about 3 Apr on larch and Chinese elm; stops about 8 Apr on ...`."""
    parts = [
        say(
            (_BY_CALENDAR if change.by_calendar else _CHANGES)[change.word],
            date=timing.short_day(change.date, as_of),
            part=timing.part_of_month(change.date, as_of),
            species=prose.some_of(list(dict.fromkeys(names)), NAMES_SHOWN),
            window=prose.plain(Text(change.window, context="window")),
        )
        for change, names in sorted(told.items())
    ]
    others = [say("others follow within days")] if len(parts) > CHANGES_TOLD else []
    return prose.sentence("; ".join((*parts[:CHANGES_TOLD], *others)))
