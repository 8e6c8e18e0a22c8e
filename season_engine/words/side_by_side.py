"""Two yards side by side: what both have, when it opens next at each, and how that compares."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from season_engine.report.contents import Report, SiteReport
from season_engine.report.shared_openings import SharedOpening, compared_sites, shared_openings
from season_engine.windows.assessment import Assessment, Quantiles
from season_engine.words import naming, prose, timing
from season_engine.words.line import Line
from season_engine.words.speech import say

SHARED_TOLD = 3


def side_by_side(report: Report) -> tuple[Line, ...]:
    """The next openings that the first two sites share, each against its usual: the next one of a species."""
    sites, lines = compared_sites(report), dict[str, Line]()
    for one in sorted(shared_openings(report), key=_soonest):
        line = Line(prose.capital(naming.title(one.first)), _told(sites, one, report.as_of))
        lines.setdefault(one.first.species, line)
    return tuple(lines.values())[:SHARED_TOLD]


def _soonest(one: SharedOpening) -> tuple[dt.date, str, tuple[str, str, str]]:
    a = one.first
    dates = (one.here.p50 or dt.date.max, one.there.p50 or dt.date.max)
    return min(dates), naming.title(a), (a.species, a.job, a.window)


def _told(sites: Sequence[SiteReport], one: SharedOpening, as_of: dt.date) -> str:
    here, there = one.here, one.there
    names = [prose.plain(site.site.name) for site in sites]
    in_one_season = sites[0].site.hemisphere == sites[1].site.hemisphere
    return say(
        "Next opens {about} at {site}{compared} and {other_about} at {other}{other_compared}{apart}.",
        about=timing.roughly(here, as_of),
        site=names[0],
        compared=_compared(one.first),
        other_about=timing.roughly(there, as_of),
        other=names[1],
        other_compared=_compared(one.other),
        apart=_apart(here, there) if in_one_season else "",
    )


def _apart(here: Quantiles, there: Quantiles) -> str:
    """How much later at the other site; empty where that is little, or the calendar sets either."""
    days = (there.p50 - here.p50).days if here.p50 and there.p50 else 0
    if abs(days) < timing.AS_USUAL_DAYS or here.calendar or there.calendar:
        return ""
    later = prose.counts("{n} day later", "{n} days later", abs(days))
    earlier = prose.counts("{n} day earlier", "{n} days earlier", abs(days))
    return f", {later if days > 0 else earlier}"


def _compared(a: Assessment) -> str:
    """How the opening of this season compares with the usual; of the next one nothing is known yet."""
    if a.verdict not in ("wait", "soon"):
        return ""
    compared = timing.against_usual(a.opens, a.usual.opens_p50)
    return f" ({compared})" if compared else ""
