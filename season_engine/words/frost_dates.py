"""First and last frosts of a place, as `weather` tells them."""

from __future__ import annotations

import datetime as dt

from season_engine.facts import Day, Degrees
from season_engine.weather.frost_dates import FrostDates, FrostSeason
from season_engine.words import prose
from season_engine.words.speech import quantity


def frost_sentence(frost: FrostSeason) -> str:
    """In how many winters, and both ends of the season of frosts; winters without count."""
    level = quantity(Degrees(frost.level_c, 0))
    seen = round(frost.first.share_with_frost * frost.first.winters)
    told = prose.counted(frost.first.winters, "winter")
    if seen == 0 and frost.last.share_with_frost == 0.0:
        return f"No frost ({level} or colder at the sensor) in {told}."
    told = f"Frost ({level} or colder at the sensor) in {seen} of {told}"
    last = _end("the last of a winter", frost.last, "after", frost.last.p90)
    first = _end("the first", frost.first, "before", frost.first.p10)
    return f"{'; '.join([told, *last, *first])}."


def _end(end: str, dates: FrostDates, beyond: str, in_one_of_ten: dt.date | None) -> list[str]:
    """``the last of a winter by 19 Apr in half of them, after 6 May in one of ten``."""
    half = [f"by {quantity(Day(dates.p50))} in half of them"] if dates.p50 else []
    one = [f"{beyond} {quantity(Day(in_one_of_ten))} in one of ten"] if in_one_of_ten else []
    return [f"{end} {', '.join([*half, *one])}"] if half or one else []
