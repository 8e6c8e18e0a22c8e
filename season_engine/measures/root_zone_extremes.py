"""The coldest and warmest of each day in the middle of a pot, with the sun on it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.measures.day_length import day_length_h
from season_engine.measures.day_response import day_response, followed
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.sunlight import INLAND, SunCourse, sunlight
from season_engine.pot import Pot

FloatArray = NDArray[np.float64]

# Share of the sun on the top that warms: the tree's crown leaves it a half or so, and moist mix gives off
# water for another half. From memory; on bark that dries (Martin & Ingram) it may be 0.4: a degree more.
WARMS_THE_TOP = 0.25


class RootZone(NamedTuple):
    """Temperatures of each day in the middle of a pot, degC, each shape (..., days)."""

    min_c: FloatArray
    mean_c: FloatArray
    max_c: FloatArray


def root_zone_extremes(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    *,
    latitude_deg: float,
    day_of_year: ArrayLike,
    pot: Pot,
    per_root_k: float = INLAND,
) -> RootZone:
    """Lowest, mean and highest temperature of each day in the middle of a pot that stands in free air.

    Air through the day is `hourly_temperatures_c`; the sun on the pot, by `sunlight`, is added as what it
    would warm a body without heat of its own (sol-air temperature): absorbed over exchanged. That reaches the
    middle by conduction, by `lags_of_middle`, solved for straight lines from hour to hour. The first day
    counts as if many like it had gone before.

    Left out: the day's own wind and rain; freezing water, which holds the mix at 0 degC for hours or days, so
    that frost comes later and less deep than said; water that the wall gives off, which cools; the clear
    night sky, which takes a pot in the open a degree or two below the air; warm ground; neighbours' shade.
    Near the sunny wall it is warmer at noon. With `WINDS` from windy to still and `MIXES` from wet to dry, a
    bright summer day's highest in ten litres moves by 4 degC down to 6 up, a winter night's lowest by tenths.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (..., days), consecutive days.
    latitude_deg : degrees, north positive.
    day_of_year : 1 to 366, shape (days,).
    pot : its size, stuff and place.
    per_root_k : of the sun's clearness, 0.16 inland and 0.19 at a coast; see `clearness`.

    Returns
    -------
    degC, each of shape (..., days). A day without a reading is NaN, and so are the day before it, whose
    evening leans on it, and those after it until the pot has forgotten it: two, four for 60 litres.

    References
    ----------
    Sol-air temperature is of the engineering of buildings. A published simulation of pots takes the sun and
    wind of each hour: Martin, C. A. & Ingram, D. L. (1992), Simulation modeling of temperatures in root
    container media, Journal of the American Society for Horticultural Science 117, 571-577 (abstract read in
    a stored copy, title and place from memory); nothing was taken from it.
    """
    hours = _hours_first_c(tmin_c, tmax_c, latitude_deg, day_of_year, pot, per_root_k)
    return RootZone(hours.min(axis=0), hours.mean(axis=0), hours.max(axis=0))


def root_zone_hours_c(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    *,
    latitude_deg: float,
    day_of_year: ArrayLike,
    pot: Pot,
    per_root_k: float = INLAND,
) -> FloatArray:
    """The same at hours 0 to 23 of each day, noon at 12, shape (..., days, 24)."""
    return np.moveaxis(_hours_first_c(tmin_c, tmax_c, latitude_deg, day_of_year, pot, per_root_k), 0, -1)


def warmed_by_sun_c(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    *,
    latitude_deg: float,
    day_of_year: ArrayLike,
    pot: Pot,
    per_root_k: float = INLAND,
) -> FloatArray:
    """How far above the air the sun would bring the whole pot in the end, hourly, shape (..., days, 24)."""
    return sunlight(tmin_c, tmax_c, latitude_deg, day_of_year, per_root_k).on(*_degrees_a_watt(pot))


def sun_on_pot_c(course: SunCourse, pot: Pot) -> FloatArray:
    """The same of a whole beam and of a MJ from the sky, degC, shape (days, 2, 24)."""
    return np.stack(course.on(*_degrees_a_watt(pot)), axis=1)


def _degrees_a_watt(pot: Pot) -> tuple[float, float]:
    """What the sun on the side and on the top warms a pot by, degC for each W per square metre."""
    degrees_a_watt = pot.sun_share / pot.exchange_w_m2_k
    side = pot.side_share * pot.wall.absorptance * degrees_a_watt
    return side, (1.0 - pot.side_share) * WARMS_THE_TOP * degrees_a_watt


def _hours_first_c(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    latitude_deg: float,
    day_of_year: ArrayLike,
    pot: Pot,
    per_root_k: float,
) -> FloatArray:
    """Temperatures in the middle, shape (24, ..., days)."""
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    air = hourly_temperatures_c(tmin, tmax, day_length_h(latitude_deg, day_of_year))
    air += warmed_by_sun_c(
        tmin, tmax, latitude_deg=latitude_deg, day_of_year=day_of_year, pot=pot, per_root_k=per_root_k
    )
    return followed(day_response(pot), air)
