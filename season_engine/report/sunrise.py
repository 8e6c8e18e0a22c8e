"""Sunrise and sunset of a date, as shown to a person."""

from __future__ import annotations

import datetime as dt
from typing import Literal, NamedTuple

from season_engine.site import Site


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
