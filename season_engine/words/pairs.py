"""The next openings that two yards share, as pairs of dates with their words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.report.contents import Report
from season_engine.report.shared_openings import SharedOpening, compared_sites, shared_openings
from season_engine.words import naming, prose, timing
from season_engine.words.speech import say

MOST = 12


@dataclass(frozen=True, slots=True)
class PairOfDates:
    """When one job comes at each of two yards."""

    title: str
    first: dt.date
    other: dt.date
    told: str  # what lies between them


@dataclass(frozen=True, slots=True)
class PairsOfDates:
    """Two yards and what they share, the greatest difference first."""

    first: str
    other: str
    pairs: tuple[PairOfDates, ...]


def pairs_of_dates(report: Report) -> PairsOfDates | None:
    """At most `MOST` openings that the weather decides at both yards; None where they share none.

    Nor between hemispheres, whose dates lie half a year apart and tell nothing of the two yards.
    """
    sites = compared_sites(report)
    if len({site.site.hemisphere for site in sites}) != 1:
        return None
    by_weather = [one for one in shared_openings(report) if not (one.here.calendar or one.there.calendar)]
    pairs = [pair for one in sorted(by_weather, key=_order)[:MOST] if (pair := _pair(one)) is not None]
    if not pairs:
        return None
    first, other = (prose.plain(site.site.name) for site in sites)
    return PairsOfDates(first, other, tuple(pairs))


def pair_words(pairs: PairsOfDates, as_of: dt.date) -> str:
    """All of the pairs in words."""
    told = (
        say(
            "{title}: {first} at {here}, {other} at {there}.",
            title=pair.title,
            first=timing.short_day(pair.first, as_of),
            here=pairs.first,
            other=timing.short_day(pair.other, as_of),
            there=pairs.other,
        )
        for pair in pairs.pairs
    )
    return " ".join(told)


def _order(one: SharedOpening) -> tuple[int, str, str, str]:
    return -one.days_later, naming.title(one.first), one.first.job, one.first.window


def _pair(one: SharedOpening) -> PairOfDates | None:
    if one.here.p50 is None or one.there.p50 is None:
        return None
    days = one.days_later
    if days == 0:
        told = say("the same day")
    elif days > 0:
        told = prose.counts("{n} day later", "{n} days later", days)
    else:
        told = prose.counts("{n} day earlier", "{n} days earlier", -days)
    return PairOfDates(prose.capital(naming.title(one.first)), one.here.p50, one.there.p50, told)
