"""The season against the usual: how many days early or late, and its sums in words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.report.contents import SiteReport
from season_engine.report.season_late import heat_late_days, windows_late_days
from season_engine.report.season_sums import SeasonSum
from season_engine.words import notices, prose, quantities, timing
from season_engine.words.speech import said, say


@dataclass(frozen=True, slots=True)
class SumLine:
    """A season sum in words, beside its chart."""

    season_sum: SeasonSum
    name: str
    text: str
    explained: str


def season_sentence(site: SiteReport, as_of: dt.date) -> str:
    """``The season runs four days late.``; empty where that can't be said."""
    days = windows_late_days(site, as_of)
    by_heat = heat_late_days(site.sums)
    if days is None:
        return "" if by_heat is None else say("By its heat the season runs {late}.", late=_late(by_heat))
    if by_heat is not None and abs(by_heat - days) > timing.AS_USUAL_DAYS:
        heat = _late(by_heat)
        return say("The season runs {late}, by heat alone {heat}.", late=_late(days), heat=heat)
    return say("The season runs {late}.", late=_late(days))


def _late(days: int) -> str:
    if abs(days) < timing.AS_USUAL_DAYS:
        return say("about as usual")
    if days > 0:
        return prose.counts("{n} day late", "{n} days late", days)
    return prose.counts("{n} day early", "{n} days early", -days)


def sum_line(season_sum: SeasonSum, as_of: dt.date) -> SumLine:
    """A sum beside what past seasons had by this day."""
    s = quantities.season_sum(season_sum)
    unit = prose.plain(quantities.unit_text(season_sum.unit))
    chill = s.name == "chill"
    explained = prose.plain(notices.CHILL_PORTION) if chill else said(notices.HEAT_UNIT)
    name = say("Chill") if chill else say("Heat")
    if not s.so_far:
        return SumLine(s, name, say("No reading of this season yet."), explained)
    last = len(s.so_far) - 1
    text = say(
        "{sum} {unit} by {date}. By that date 8 in 10 past seasons had {low} to {high}, the middle one "
        "{middle}.",
        sum=prose.amount(s.so_far[last]),
        unit=unit,
        date=timing.day(s.days[last], as_of),
        low=prose.amount(s.p10[last]),
        high=prose.amount(s.p90[last]),
        middle=prose.amount(s.p50[last]),
    )
    return SumLine(s, name, text, explained)
