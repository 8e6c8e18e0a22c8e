"""Public weather stations: which one stands for a site, and what its height makes of its temperatures."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import StationFacts

# Standard atmosphere (ISO 2533, ICAO Doc 7488): 6.5 K per km up to 11 km. Read in a secondary copy: a table
# of the standard that gives 281.65 K at 1 km and 216.65 K at 11 km.
LAPSE_C_PER_M = 0.0065
MOST_HEIGHT_M = 1000.0  # our judgement: past this it is another climate rather than a colder copy of this one
SEARCH_KM = 100.0
STATION_ID = re.compile(r"[A-Za-z0-9]{1,20}")  # files are named by it
# 100 m of height cost as much as 10 km of distance; our judgement, no source.
KM_PER_M_OF_HEIGHT = 0.1
ENOUGH_COMPLETE = 0.8
ENOUGH_YEARS = 6  # holds five whole seasons wherever the first one starts
ENDED_AFTER_DAYS = 120  # the directory of stations may itself be weeks behind


@dataclass(frozen=True, slots=True)
class Station:
    """A station as the directory lists it, seen from a site."""

    id: str
    name: str
    latitude: float
    longitude: float
    elevation_m: float | None
    timezone: str | None
    distance_km: float
    first_day: dt.date
    last_day: dt.date  # as far as the directory knows
    completeness: float | None  # of the directory, 0..1
    daily_extremes: bool  # it reports lowest and highest; else they are the lowest and highest hour

    def height_difference_m(self, elevation_m: float | None) -> float | None:
        """How much higher than the site it stands; None where a height isn't known."""
        if elevation_m is None or self.elevation_m is None:
            return None
        return self.elevation_m - elevation_m

    def ended(self, on: dt.date) -> bool:
        """Whether it had fallen silent by `on`."""
        return (on - self.last_day).days > ENDED_AFTER_DAYS


def in_order(
    stations: Sequence[Station], elevation_m: float | None, *, on: dt.date, listed_on: dt.date
) -> list[Station]:
    """The stations that can stand for a site, the best one first.

    One that ended, began too late, is full of holes or lies far above or below can't. A station counts as
    ended only up to the day the directory was fetched, `listed_on`: an old directory doesn't make silence.
    The completeness is the directory's for the whole record; it picks between stations and enters no sum.
    """
    seen_on = min(on, listed_on)
    started_by = on - dt.timedelta(days=round(ENOUGH_YEARS * 365.25))

    def can_stand(one: Station) -> bool:
        height = one.height_difference_m(elevation_m)
        return (
            one.first_day <= started_by
            and not one.ended(seen_on)
            and (one.completeness is None or one.completeness >= ENOUGH_COMPLETE)
            and (height is None or abs(height) <= MOST_HEIGHT_M)
        )

    def cost(one: Station) -> tuple[bool, float, str]:
        height = abs(one.height_difference_m(elevation_m) or 0.0)
        return not one.daily_extremes, one.distance_km + KM_PER_M_OF_HEIGHT * height, one.id

    return sorted(filter(can_stand, stations), key=cost)


def height_correction_c(height_difference_m: float | None) -> float:
    """What to add to a station's temperatures [degC] for a site that lies `height_difference_m` below it."""
    if height_difference_m is None:
        return 0.0
    return LAPSE_C_PER_M * max(-MOST_HEIGHT_M, min(MOST_HEIGHT_M, height_difference_m))


def corrected(series: DailySeries, facts: StationFacts) -> DailySeries:
    """A station's temperatures brought to the site's height."""
    add = facts.correction_c
    return DailySeries(series.first_day, series.tmin_c + add, series.tmax_c + add)
