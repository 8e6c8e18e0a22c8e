"""The jobs of each tree over the twelve months ahead, as spans between dates."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.report.contents import SiteReport
from season_engine.windows.assessment import Assessment, Quantiles
from season_engine.windows.bud_stage import BudStage

DAYS = 365


@dataclass(frozen=True, slots=True)
class Span:
    """A job's window that at least half the chances have, this season's or the next one's."""

    job: str
    window: str
    opens: Quantiles
    closes: Quantiles
    due: bool  # else the tree may have it


@dataclass(frozen=True, slots=True)
class TreeYear:
    """One tree's spans by their opening; of a yard without trees, one species'."""

    of: Assessment  # any of the tree's
    stage: BudStage | None
    spans: tuple[Span, ...]


def year_ahead(site: SiteReport, on: dt.date) -> tuple[TreeYear, ...]:
    """Each tree in the grower's order; a tree that is to be left without a job has no span of it."""
    groups: dict[str, list[Assessment]] = {}
    for a in site.trees or site.windows:
        groups.setdefault(a.tree or a.species, []).append(a)
    years = []
    for key, group in groups.items():
        spans = {span for a in group if (span := _span(a)) is not None and _in_sight(span, on)}
        years.append(TreeYear(group[0], site.stages.get(key), tuple(sorted(spans, key=_order))))
    return tuple(years)


def _span(a: Assessment) -> Span | None:
    if a.left_alone or a.verdict == "not-here" or a.seldom_well is not None:
        return None
    opens, closes = a.opens, a.closes
    if a.verdict == "closed":
        if a.next is None or a.next.left:
            return None
        opens, closes = a.next.opens, a.next.closes
    if opens.p50 is None or (closes.p50 is not None and closes.p50 <= opens.p50):
        return None
    return Span(a.job, a.window, opens, closes, a.due)


def _in_sight(span: Span, on: dt.date) -> bool:
    first = span.opens.p10 or span.opens.p50
    last = span.closes.p90
    return (first is not None and first < on + dt.timedelta(days=DAYS)) and (last is None or last > on)


def _order(span: Span) -> tuple[dt.date, str, str]:
    return span.opens.p50 or dt.date.max, span.job, span.window
