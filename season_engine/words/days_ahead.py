"""The nights and days ahead in words, and the levels that are drawn beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.facts import Degrees
from season_engine.report.contents import SiteReport
from season_engine.report.days_ahead import DayAhead
from season_engine.windows.hazard import ColdNight, HotDays
from season_engine.words import prose, timing
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import quantity, say


@dataclass(frozen=True, slots=True)
class Floor:
    """A temperature that a tree should not come to, and what it is called in a drawing."""

    label: str
    level_c: float


def floors_of(site: SiteReport) -> tuple[Floor, ...]:
    """Freezing, what would hurt a tree worked now or soon, and from where on it harms trees as they stand."""
    named = {odds.level_c: say("harm after work") for odds in site.frost} | {0.0: say("freezing")}
    for harm in site.first.protect:
        if isinstance(harm.event, ColdNight | HotDays):
            named[harm.event.level_c] = tree_names(site, harm.trees, 1)
    return tuple(Floor(label, level_c) for level_c, label in sorted(named.items(), reverse=True))


def days_ahead_words(days: Sequence[DayAhead], floors: Sequence[Floor], as_of: dt.date) -> str:
    """The coldest night and the hottest day, and the nights that may touch each level; empty without days."""
    if not days:
        return ""
    coldest = min(days, key=lambda day: day.low.p50_c)
    hottest = max(days, key=lambda day: day.high.p50_c)
    extremes = say(
        "Coldest night about {low}, {night}; warmest day about {high}, {day}.",
        low=Degrees(coldest.low.p50_c, 0),
        night=timing.day(coldest.date, as_of),
        high=Degrees(hottest.high.p50_c, 0),
        day=timing.day(hottest.date, as_of),
    )
    return " ".join([extremes, *(_touched(days, floor, as_of) for floor in floors)])


def _touched(days: Sequence[DayAhead], floor: Floor, as_of: dt.date) -> str:
    nights = [timing.short_day(day.date, as_of) for day in days if day.low.p10_c <= floor.level_c]
    level = quantity(Degrees(floor.level_c))
    if not nights:
        return say("{level} ({label}): no night is likely to reach it.", level=level, label=floor.label)
    if len(nights) == len(days):
        return say("{level} ({label}): any night may reach it.", level=level, label=floor.label)
    return say(
        "{level} ({label}): the night of {nights} may reach it.",
        level=level,
        label=floor.label,
        nights=prose.choice(nights),
    )
