"""Two yards side by side: what both have, when it opens next at each, and how that compares."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from season_engine.report.contents import Report, SiteReport, next_opening, next_opens
from season_engine.windows.assessment import Assessment, Quantiles
from season_engine.words import naming, prose, timing
from season_engine.words.line import Line
from season_engine.words.speech import say

SHARED_TOLD = 3


def side_by_side(report: Report) -> tuple[Line, ...]:
    """The next openings that the first two sites share, each against its usual."""
    sites = [site for site in report.sites if not site.refusal]
    return _shared(sites[:2], report.as_of) if len(sites) > 1 else ()


def _shared(sites: Sequence[SiteReport], as_of: dt.date) -> tuple[Line, ...]:
    first, other = ({(a.species, a.job, a.window): a for a in site.windows} for site in sites)
    dated = []
    for key in first.keys() & other.keys():
        here, there = _next(first[key], as_of), _next(other[key], as_of)
        if here is not None and there is not None:
            dated.append((min(here, there), naming.title(first[key]), key))
    lines: dict[str, Line] = {}  # the next one of each species
    for _, title, key in sorted(dated):
        told = _told(sites, first[key], other[key], as_of)
        lines.setdefault(key[0], Line(prose.capital(title), told))
    return tuple(lines.values())[:SHARED_TOLD]


def _told(sites: Sequence[SiteReport], first: Assessment, other: Assessment, as_of: dt.date) -> str:
    here, there = (next_opens(a) or a.opens for a in (first, other))
    names = [prose.plain(site.site.name) for site in sites]
    in_one_season = sites[0].site.hemisphere == sites[1].site.hemisphere
    return say(
        "Next opens {about} at {site}{compared} and {other_about} at {other}{other_compared}{apart}.",
        about=timing.roughly(here, as_of),
        site=names[0],
        compared=_compared(first),
        other_about=timing.roughly(there, as_of),
        other=names[1],
        other_compared=_compared(other),
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


def _next(a: Assessment, as_of: dt.date) -> dt.date | None:
    date = next_opening(a)
    return date if date is not None and date > as_of and a.seldom_well is None else None
