"""Chances that a window is open, or has opened, on days around one, for drawings of the JSON."""

from __future__ import annotations

import datetime as dt

from season_engine.windows.assessment import DayChance, WeekChance
from season_engine.windows.opening import Opening

DAYS_AHEAD = 42  # how far an opening is told day by day
WEEKS_BACK, WEEKS_AHEAD = 10, 30


def week_chances(opening: Opening, past: Opening, on: dt.date) -> tuple[WeekChance, ...]:
    """Chances that it is open on Mondays past and to come, this season and usually."""
    monday = on - dt.timedelta(days=on.weekday())
    days = [monday + dt.timedelta(weeks=week) for week in range(-WEEKS_BACK, WEEKS_AHEAD + 1)]
    chances = zip(days, opening.chances_open(days), past.chances_open(days), strict=True)
    return tuple(WeekChance(*one) for one in chances)


def day_chances(opening: Opening, past: Opening, on: dt.date, floor: float) -> tuple[DayChance, ...]:
    """Chances that it has opened by each of the days to come; none where it doesn't open within them."""
    opens, last = opening.opened_by(floor), on + dt.timedelta(days=DAYS_AHEAD)
    if opens is None or not on < opens <= last:
        return ()
    days = [on + dt.timedelta(days=day) for day in range(DAYS_AHEAD + 1)]
    return tuple(DayChance(day, opening.chance_opened(day), past.chance_opened(day)) for day in days)
