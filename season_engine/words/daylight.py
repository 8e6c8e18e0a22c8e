"""Sunrise and sunset of a date, as shown to a person."""

from __future__ import annotations

import datetime as dt
from typing import Literal, NamedTuple
from zoneinfo import ZoneInfo

from season_engine.site import Site
from season_engine.words.speech import say

_HALF_A_MINUTE = dt.timedelta(seconds=30)  # a clock's digits are cut, not rounded


class SunTimes(NamedTuple):
    """Local times of one date; None where the sun doesn't cross the horizon."""

    sunrise: dt.datetime | None
    sunset: dt.datetime | None
    all_day: Literal["day", "night"] | None = None  # what it is where there is neither


def sun_times(site: Site, on: dt.date, timezone: dt.tzinfo = dt.UTC) -> SunTimes:
    """Sunrise and sunset at a site, to about a minute.

    For a person's eye only: whatever is computed takes `measures.day_length`, another formula that differs by
    minutes, so that no model mixes the two.
    """
    from astral import Observer
    from astral.sun import elevation, noon, sunrise, sunset

    observer = Observer(site.latitude, site.longitude, 0.0)
    try:
        return SunTimes(sunrise(observer, on, timezone), sunset(observer, on, timezone))
    except ValueError:  # astral's word for a sun that doesn't cross the horizon
        up = elevation(observer, noon(observer, on, timezone)) > 0.0
        return SunTimes(None, None, "day" if up else "night")


def daylight_sentence(site: Site, on: dt.date, timezone: str | None) -> str:
    """How long the sun is up, and from when to when where the place's time zone is known."""
    times = sun_times(site, on, ZoneInfo(timezone) if timezone else dt.UTC)
    if times.sunrise is None or times.sunset is None:
        return say("The sun doesn't set.") if times.all_day == "day" else say("The sun doesn't rise.")
    minutes = round((times.sunset - times.sunrise) / dt.timedelta(minutes=1)) % (24 * 60)
    hours, minutes = divmod(minutes, 60)
    if timezone is None:
        return say("The sun is up for {hours} h {minutes} min.", hours=hours, minutes=minutes)
    return say(
        "The sun is up from {sunrise} to {sunset}, {hours} h {minutes} min.",
        sunrise=f"{times.sunrise + _HALF_A_MINUTE:%H:%M}",
        sunset=f"{times.sunset + _HALF_A_MINUTE:%H:%M}",
        hours=hours,
        minutes=minutes,
    )
