"""Dates and spans of time in words, in the language that is spoken."""

from __future__ import annotations

import datetime as dt

from season_engine.facts import Day, Month
from season_engine.windows.assessment import Quantiles
from season_engine.words.prose import counts
from season_engine.words.speech import quantity, say

AS_USUAL_DAYS = 3  # a smaller difference is noise, and not worth a grower's attention


def short_day(date: dt.date, as_of: dt.date) -> str:
    """``11 Aug``, with the year where it isn't the year of `as_of`."""
    return quantity(Day(date, year=date.year != as_of.year))


def day(date: dt.date, as_of: dt.date) -> str:
    """``Tue 11 Aug``, with the year where it isn't the year of `as_of`."""
    return quantity(Day(date, weekday=True, year=date.year != as_of.year))


def full_day(date: dt.date) -> str:
    """``Tue 11 Aug 2026``."""
    return quantity(Day(date, weekday=True, year=True))


def iso_week(date: dt.date) -> str:
    """``2026-W33``: also the name of the week's folder."""
    year, week, _ = date.isocalendar()
    return f"{year}-W{week:02d}"


def month_and_year(date: dt.date) -> str:
    """``August 2026``."""
    return say("{month}", month=Month(date, year=True))


def part_of_month(date: dt.date, as_of: dt.date) -> str:
    """``mid-April``, with the year where it isn't the year of `as_of`."""
    month = Month(date, year=date.year != as_of.year)
    if date.day <= 10:
        return say("early {month}", month=month)
    return say("mid-{month}", month=month) if date.day <= 20 else say("late {month}", month=month)


def by_calendar(dates: Quantiles, as_of: dt.date) -> str:
    """``by the calendar, from mid-April``, for an end that the calendar sets; else empty."""
    if dates.calendar is None or dates.p50 is None:
        return ""
    part = part_of_month(dates.p50, as_of)
    if dates.calendar == "opens":
        return say("by the calendar, from {part}", part=part)
    return say("by the calendar, in {part}", part=part)


def between(low: dt.date, high: dt.date, as_of: dt.date) -> str:
    """``between 3 and 21 Apr``; month and year only where they are needed."""
    last = short_day(high, as_of)
    if (low.year, low.month) == (high.year, high.month):
        return say("between {day} and {last}", day=low.day, last=last)
    first = short_day(low, high) if low.year == high.year else short_day(low, as_of)
    return say("between {first} and {last}", first=first, last=last)


def when(dates: Quantiles, as_of: dt.date) -> str:
    """``between 3 and 21 Apr, most likely about 11 Apr``, for an event still ahead."""
    if told := by_calendar(dates, as_of):
        return told
    low, middle, high = dates.p10, dates.p50, dates.p90
    if middle is None:
        if low is None:
            return say("not within the days looked at")
        return say("not before {date}, and more likely not at all this season", date=short_day(low, as_of))
    low = low or middle
    if high is None:
        return say(
            "from {first} on, most likely about {middle}, and perhaps not at all this season",
            first=short_day(low, as_of),
            middle=short_day(middle, as_of),
        )
    if low == high:
        return say("on {date}", date=day(middle, as_of))
    return say(
        "{between}, most likely about {middle}",
        between=between(low, high, as_of),
        middle=short_day(middle, as_of),
    )


def roughly(dates: Quantiles, as_of: dt.date) -> str:
    """``about Tue 11 Aug``, or what part of its month the calendar sets; of dates that have a middle."""
    if dates.p50 is None:
        return when(dates, as_of)
    return by_calendar(dates, as_of) or say("about {date}", date=day(dates.p50, as_of))


def give_or_take(dates: Quantiles) -> str:
    """``give or take five days``: half the span that holds 8 chances in 10; empty if it has no end."""
    if dates.p10 is None or dates.p90 is None:
        return ""
    half = round((dates.p90 - dates.p10).days / 2)
    if half == 0:
        return say("to the day")
    return counts("give or take a day", "give or take {n} days", half)


def about(dates: Quantiles, as_of: dt.date) -> str:
    """``about Tue 11 Aug, give or take five days``; one date where it has happened."""
    if told := by_calendar(dates, as_of):
        return told
    if dates.p50 is None:
        return when(dates, as_of)
    if dates.p10 == dates.p90 == dates.p50:
        return say("on {date}", date=day(dates.p50, as_of))
    spread = give_or_take(dates) or say("perhaps much later, or not at all")
    return say("about {date} ({spread})", date=day(dates.p50, as_of), spread=spread)


def against_usual(dates: Quantiles, usual: dt.date | None) -> str:
    """``nine days earlier than usual``; empty where there is nothing to compare."""
    if dates.p50 is None or usual is None or dates.calendar:
        return ""
    days = (dates.p50 - usual).days
    if abs(days) <= AS_USUAL_DAYS:
        return say("about as usual")
    if days > 0:
        return counts("{n} day later than usual", "{n} days later than usual", days)
    return counts("{n} day earlier than usual", "{n} days earlier than usual", -days)
