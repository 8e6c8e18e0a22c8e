"""What temperatures a site has, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from season_engine.report import phrases
from season_engine.site import Site
from season_engine.weather.series import Weather


def weather_text(sites: Iterable[tuple[Site, Weather]], as_of: dt.date) -> str:
    """Source, span, faults and gaps of each site's readings."""
    return "\n".join(_site(site, weather, as_of) for site, weather in sites)


def _site(site: Site, weather: Weather, as_of: dt.date) -> str:
    series = weather.series
    filled = int(np.count_nonzero(~weather.observed))
    lines = [
        phrases.plain(site.name),
        f"  {phrases.sentence(weather.source)}",
        f"  From {phrases.full_day(series.first_day)} to {phrases.full_day(series.last_day)}: "
        f"{phrases.counted(len(series), 'day')}, of which {phrases.counted(filled, 'day')} filled in.",
    ]
    if weather.invented:
        lines.append(f"  {phrases.INVENTED}")
    age = (as_of - series.last_day).days
    if age > 0:
        lines.append(f"  The last reading is {phrases.counted(age, 'day')} old.")
    lines += [f"  - {phrases.sentence(text)}" for text in weather.warnings]
    lines += [f"  - {phrases.sentence(fault.text)}" for fault in weather.faults]
    if not weather.faults:
        lines.append("  No faults found.")
    return "\n".join(lines) + "\n"
