"""The forecast service that meteostat knows: where a place's forecast is, and the daily extremes in it.

meteostat's own reader keeps the temperature at each step only. Some days ahead steps are six hours apart, and
then the lowest and highest of the steps are neither the night's nor the day's; the complete form of the
service's file has the extremes of each six hours, and they are used here.
"""

from __future__ import annotations

import datetime as dt
import json
import os
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from typing import Any, NamedTuple
from urllib.parse import urlencode

from season_engine.files.foreign_values import year_served
from season_engine.site import Site
from season_engine.weather.forecast.days import DayForecast, Issue
from season_engine.weather.station.provider import SECONDS_PER_DEGREE, URL_VARIABLE

# Its data are under NLOD 2.0 (metadata of meteostat 2.1.5) and CC BY 4.0 (read in a secondary copy: the
# description of the R package frostr); both ask to be named.
SERVICE, LICENCE = "MET Norway", "CC BY 4.0"
HOUR, SIX_HOURS = dt.timedelta(hours=1), dt.timedelta(hours=6)
FEWEST_HOURS = 20 * HOUR  # of a day, as for a logger's
COLDEST_C, HOTTEST_C = -90.0, 60.0


def forecast_url(site: Site) -> str:
    """Where a site's forecast is.

    Two decimals: about a kilometre, finer than the service's grid, and nobody learns where the trees stand.
    """
    query = {"lat": f"{site.latitude:.2f}", "lon": f"{site.longitude:.2f}"}
    if site.elevation_m is not None:
        query["altitude"] = f"{site.elevation_m:.0f}"
    return f"{_endpoint()}?{urlencode(query)}"


def _endpoint() -> str:
    mirror = os.environ.get(URL_VARIABLE)
    if mirror:
        return f"{mirror.rstrip('/')}/forecast/complete"
    from meteostat.api.config import config

    address: str = config.metno_forecast_endpoint.partition("?")[0]
    return address.replace("/compact", "/complete")


def check_forecast(content: bytes) -> None:
    """Raise ValueError unless this is a whole forecast."""
    read_forecast(content, 0.0)


CHECKS = {"/complete": check_forecast}


def read_forecast(content: bytes, longitude_deg: float) -> Issue:
    """A file's forecast, issued by the clock of UTC, its days by the sun at a longitude.

    A day of which less than 20 hours are covered is left out: today's, mostly. Raises ValueError where it
    can't be read.
    """
    try:
        properties = json.loads(content)["properties"]
        issued = _moment(properties["meta"]["updated_at"])
        steps = sorted((_step(entry) for entry in properties["timeseries"]), key=lambda step: step.time)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        page = content.lstrip()[:1] == b"<"
        what = "a web page came instead of a forecast" if page else "the forecast is cut short or garbled"
        raise ValueError(what) from error
    days = _days(steps, longitude_deg)
    if not days:
        raise ValueError("the forecast holds no whole day")
    return Issue(issued, days)


class _Step(NamedTuple):
    time: dt.datetime
    temp_c: float
    low_c: float | None  # of the six hours from here
    high_c: float | None


def _step(entry: dict[str, Any]) -> _Step:
    data = entry["data"]
    ahead = data.get("next_6_hours", {}).get("details", {})
    low, high = ahead.get("air_temperature_min"), ahead.get("air_temperature_max")
    known = low is not None and high is not None
    return _Step(
        _moment(entry["time"]),
        _temperature(data["instant"]["details"]["air_temperature"]),
        _temperature(low) if known else None,
        _temperature(high) if known else None,
    )


def _moment(text: str) -> dt.datetime:
    moment = dt.datetime.fromisoformat(text)
    if not year_served(moment.year):
        raise ValueError(f"{text} lies outside the years that are served")
    return moment.replace(tzinfo=moment.tzinfo or dt.UTC).astimezone(dt.UTC)


def _temperature(value: float) -> float:
    if not COLDEST_C <= float(value) <= HOTTEST_C:  # nor for NaN
        raise ValueError(f"{value} degC")
    return float(value)


def _days(steps: Sequence[_Step], longitude_deg: float) -> tuple[DayForecast, ...]:
    """Each day's extremes; of six hours around midnight the low, near their end, is the next day's."""
    by_sun = dt.timedelta(seconds=round(longitude_deg * SECONDS_PER_DEGREE))
    values: dict[dt.date, list[float]] = defaultdict(list)
    covered: dict[dt.date, dt.timedelta] = defaultdict(dt.timedelta)
    for step, length in _spells(steps):
        start = step.time + by_sun
        values[start.date()].append(step.temp_c)
        covered[(start + length / 2).date()] += length
        if length > HOUR and step.low_c is not None and step.high_c is not None:
            values[start.date()].append(step.high_c)
            values[(start + length - dt.timedelta(seconds=1)).date()].append(step.low_c)
    return tuple(
        DayForecast(day, min(values[day]), max(values[day]))
        for day in sorted(values)
        if covered[day] >= FEWEST_HOURS
    )


def _spells(steps: Sequence[_Step]) -> Iterator[tuple[_Step, dt.timedelta]]:
    """Steps of which it is known what comes until the next, and for how long: an hour, or six."""
    for step, following in zip_longest(steps, steps[1:]):
        apart = SIX_HOURS if following is None else following.time - step.time
        if apart <= HOUR:
            yield step, apart
        elif step.low_c is not None:
            yield step, min(apart, SIX_HOURS)
