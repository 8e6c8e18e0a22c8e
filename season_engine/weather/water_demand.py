"""How much water the air asked for, last week and the week before."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from season_engine.measures.water_demand import reference_evapotranspiration_mm
from season_engine.site import Site
from season_engine.weather.series import Weather

WEEK = 7
STALE_DAYS = 7  # an older week is no guide to today's watering


@dataclass(frozen=True, slots=True)
class WaterDemand:
    """Reference evapotranspiration [mm] of the last seven days with readings, and of the seven before."""

    through: dt.date
    last_week_mm: float
    week_before_mm: float


def water_demand(site: Site, weather: Weather, on: dt.date) -> WaterDemand | None:
    """The last week with readings against the one before; None where a day lacks one or they are old."""
    series, days = weather.series, 2 * WEEK
    old = (on - series.last_day).days > STALE_DAYS
    if old or len(series) < days or not weather.covered[-days:].all():
        return None
    dates = [series.last_day - dt.timedelta(days=days - 1 - day) for day in range(days)]
    water_mm = reference_evapotranspiration_mm(
        series.tmin_c[-days:],
        series.tmax_c[-days:],
        site.latitude,
        np.array([date.timetuple().tm_yday for date in dates]),
    )
    before, last = (float(np.round(week.sum(), 1)) for week in (water_mm[:WEEK], water_mm[WEEK:]))
    return WaterDemand(series.last_day, last, before)
