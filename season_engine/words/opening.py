"""The odds of an opening, day by day, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from season_engine.report.contents import floor_day
from season_engine.windows.assessment import Assessment, DayChance
from season_engine.words import prose, timing
from season_engine.words.speech import say


def opening_words(assessment: Assessment) -> str:
    """What the curve shows, in a sentence or two; empty where there is none."""
    a, day = assessment, floor_day(assessment)
    if day is None:
        return ""
    today = a.days[0].chance
    marks = [odds for odds in (0.1, 0.5, 0.9) if today < odds and odds != a.floor]
    told = {odds: date for odds in marks if (date := _first(a.days, odds))}
    best = {date: odds for odds, date in sorted({**told, a.floor: day}.items())}  # of a date, the best odds
    by = [(odds, date) for date, odds in best.items()]
    steps = prose.listing([odds_by(odds, date, a.as_of) for odds, date in by])
    usual = next((d.date for d in a.days if d.usual >= a.floor), None)
    words = say(
        "Chance that it has opened: {odds} today, {steps}. This job wants {wanted}.",
        odds=prose.odds(today),
        steps=steps,
        wanted=prose.odds(a.floor),
    )
    if usual is None:
        return words
    return f"{words} {say('In past seasons it was {odds}.', odds=odds_by(a.floor, usual, a.as_of))}"


def odds_by(odds: float, date: dt.date, as_of: dt.date) -> str:
    """``7 in 10 by Tue 11 Aug``."""
    return say("{odds} by {date}", odds=prose.odds(odds), date=timing.day(date, as_of))


def _first(days: Sequence[DayChance], odds: float) -> dt.date | None:
    return next((day.date for day in days if day.chance >= odds), None)
