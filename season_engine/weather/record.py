"""A record of readings as it is known by a day: cut there, checked and whole."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import partial

from season_engine.errors import TooLittleWeatherError
from season_engine.site import Site
from season_engine.weather.checks import check_and_fill
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import Origin


def kept_weather(
    raw: DailySeries, site: Site, source: Origin, on: dt.date, *, invented: bool = False
) -> Weather:
    """Readings up to `on` checked and whole, which can be had again as of any earlier day."""
    raw = known_by(raw, on, site, source)
    again = partial(kept_weather, raw, site, source, invented=invented)
    return replace(check_and_fill(raw, source=source, invented=invented), read_until=again)


def known_by(raw: DailySeries, on: dt.date, site: Site, source: Origin) -> DailySeries:
    """Readings up to `on`; raises TooLittleWeatherError where there are none."""
    raw = raw.cut(on)
    if not len(raw):
        raise TooLittleWeatherError(f"{site.name}: the {source.name} has nothing up to {on.isoformat()}.")
    return raw
