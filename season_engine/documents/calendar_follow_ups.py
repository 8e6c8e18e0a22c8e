"""What is still to be done after jobs as days of the calendar: each one's first, the last of what bites."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from season_engine.documents.calendar_event import Entry
from season_engine.documents.calendar_spans import NAMES_IN_A_TITLE
from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.species.follow_ups import ARRIVAL
from season_engine.trees.follow_ups import AHEAD_DAYS, FollowUp
from season_engine.words import naming, notices, prose, timing
from season_engine.words.follow_ups import when
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import said, say

_DAY = dt.timedelta(days=1)


def follow_up_entries(site: SiteReport, as_of: dt.date) -> Iterator[Entry]:
    """A day for each thing ahead, with all trees that want it after the same job."""
    together: dict[tuple[object, ...], list[FollowUp]] = {}
    for one in site.follow_ups:
        day = one.last if one.stays else one.first
        if as_of <= day <= as_of + dt.timedelta(days=AHEAD_DAYS):
            key = one.job, one.since, one.words, one.planned_days, day
            together.setdefault(key, []).append(one)
    for alike in together.values():
        yield _entry(site, alike, as_of)


def _entry(site: SiteReport, alike: Sequence[FollowUp], as_of: dt.date) -> Entry:
    one = alike[0]
    day = one.last if one.stays else one.first
    trees = [each.tree for each in alike]
    title = f"{prose.plain(one.words)} — {tree_names(site, trees, NAMES_IN_A_TITLE)}"
    known_by = (one.job, one.since.isoformat(), one.words.template, str(one.planned_days), min(trees))
    return Entry(
        key=(site.site.name, "follow-up", *known_by),
        first=day,
        after=day + _DAY,
        title=notices.marked(title, invented=site.invented),
        description=tuple(_description(site, alike, as_of)),
        site=site.site.name,
        sure=True,
    )


def _description(site: SiteReport, alike: Sequence[FollowUp], as_of: dt.date) -> Iterator[str]:
    one = alike[0]
    if site.invented:
        yield said(notices.INVENTED)
    names = tree_names(site, (each.tree for each in alike), len(alike))
    yield say("Trees: {trees}.", trees=names)
    date = timing.short_day(one.since, as_of)
    if one.job == ARRIVAL:
        yield say("After arrival on {date}: {when}.", date=date, when=when(alike, as_of))
    else:
        after = Text("After {job} on {date}: {when}.")
        yield say(after, job=naming.job_name(one.job), date=date, when=when(alike, as_of))
