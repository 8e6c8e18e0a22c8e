"""The season against the usual: how many days early or late, and its sums in words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from statistics import median

from season_engine.messages import Units, said, say
from season_engine.report import phrases
from season_engine.report.contents import SeasonSum, SiteReport
from season_engine.report.units import in_units, sum_in

NEAR_DAYS = 60  # windows that open or opened within so many days tell of the season now
FEWEST_WINDOWS = 3
LEAST_HEAT = 25.0  # degree days above 5 degC; with less the sum says little


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
    if by_heat is not None and abs(by_heat - days) > phrases.AS_USUAL_DAYS:
        heat = _late(by_heat)
        return say("The season runs {late}, by heat alone {heat}.", late=_late(days), heat=heat)
    return say("The season runs {late}.", late=_late(days))


def windows_late_days(site: SiteReport, as_of: dt.date) -> int | None:
    """The middle of how much later windows about now open than usual; None where there are too few."""
    late = [
        (a.opens.p50 - a.usual.opens_p50).days
        for a in site.windows
        if a.opens.p50 and a.usual.opens_p50 and abs((a.opens.p50 - as_of).days) <= NEAR_DAYS
        if not (a.opens.p10 == a.opens.p90 and a.opens.p50 == a.usual.opens_p50)  # by the day's length alone
    ]
    return round(median(late)) if len(late) >= FEWEST_WINDOWS else None


def heat_late_days(sums: tuple[SeasonSum, ...]) -> int | None:
    """Days since the middle past season had as much heat as this one; less than 0: it is still to come."""
    heat = next((one for one in sums if one.name == "heat"), None)
    if heat is None or not heat.so_far or heat.so_far[-1] < LEAST_HEAT:
        return None
    reached = next((day for day, sum_ in enumerate(heat.p50) if sum_ >= heat.so_far[-1]), None)
    return None if reached is None else len(heat.so_far) - 1 - reached


def _late(days: int) -> str:
    if abs(days) < phrases.AS_USUAL_DAYS:
        return say("about as usual")
    if days > 0:
        return phrases.counts("{n} day late", "{n} days late", days)
    return phrases.counts("{n} day early", "{n} days early", -days)


def sum_line(season_sum: SeasonSum, units: Units, as_of: dt.date) -> SumLine:
    """A sum beside what past seasons had by this day."""
    s = sum_in(season_sum, units)
    unit = phrases.plain(s.unit)
    chill = s.name == "chill"
    explained = (
        (phrases.plain(in_units(phrases.CHILL_PORTION, units)) if "chill portion" in s.unit else "")
        if chill
        else said(phrases.HEAT_UNIT)
    )
    name = say("Chill") if chill else say("Heat")
    if not s.so_far:
        return SumLine(s, name, say("No reading of this season yet."), explained)
    last = len(s.so_far) - 1
    text = say(
        "{sum} {unit} by {date}. By that date 8 in 10 past seasons had {low} to {high}, the middle one "
        "{middle}.",
        sum=phrases.amount(s.so_far[last]),
        unit=unit,
        date=phrases.day(s.days[last], as_of),
        low=phrases.amount(s.p10[last]),
        high=phrases.amount(s.p90[last]),
        middle=phrases.amount(s.p50[last]),
    )
    return SumLine(s, name, text, explained)
