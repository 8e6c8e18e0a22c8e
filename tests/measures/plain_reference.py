"""The daily measures once more, slowly: one number at a time, straight from the formulas.

Written apart from season_engine.measures and sharing no code with it, so that the two can be held against
each other. The formulas are those that the docstrings over there cite.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

SUNRISE_ANGLE_DEG = 0.8333


def daily_rows(
    tmin: Sequence[float],
    tmax: Sequence[float],
    observed: Sequence[bool],
    latitude: float,
    day_of_year: Sequence[int],
    restart: Sequence[bool],
    base: float = 5.0,
    upper: float | None = None,
) -> list[dict[str, float]]:
    """One row a day, in the columns of the measures table. The series must be whole."""
    lengths = [day_length(latitude, day) for day in day_of_year]
    rows = []
    dynamic = DynamicModel()
    for day in range(len(tmin)):
        hours = [temperature(day, hour, tmin, tmax, lengths) for hour in range(24)]
        if restart[day]:
            dynamic = DynamicModel()
        rows.append(
            {
                "day_length_h": lengths[day],
                "chilling_hours": float(sum(0.0 <= t <= 7.2 for t in hours)),
                "utah_units": sum(utah(t) for t in hours),
                "chill_portions": sum(dynamic.hour(t) for t in hours),
                "gdd_c": degree_days(tmin[day], tmax[day], base, upper),
                "gdh_c": sum(degree_hours(t) for t in hours),
                "observed_share": sum(hour_observed(day, h, observed, lengths) for h in range(24)) / 24,
            }
        )
    return rows


def day_length(latitude: float, day: int) -> float:
    theta = 0.2163108 + 2 * math.atan(0.9671396 * math.tan(0.00860 * (day - 186)))
    phi = math.asin(0.39795 * math.cos(theta))
    lat = latitude * math.pi / 180
    top = math.sin(SUNRISE_ANGLE_DEG * math.pi / 180) + math.sin(lat) * math.sin(phi)
    cosine = top / (math.cos(lat) * math.cos(phi))
    if cosine >= 1:
        return 24.0
    if cosine <= -1:
        return 0.0
    return 24 - 24 / math.pi * math.acos(cosine)


def sunless(length: float) -> bool:
    return length in (0.0, 24.0)


def part_of_day(day: int, hour: int, lengths: Sequence[float]) -> str:
    length = lengths[day]
    if sunless(length):
        return "all day"
    if hour < 12 - length / 2:
        return "before dawn"
    return "after dusk" if hour > 12 + length / 2 else "daylight"


def temperature(
    day: int, hour: int, tmin: Sequence[float], tmax: Sequence[float], lengths: Sequence[float]
) -> float:
    part = part_of_day(day, hour, lengths)
    if part == "all day":
        return (tmin[day] + tmax[day]) / 2
    if part == "daylight":
        return by_day(hour - (12 - lengths[day] / 2), tmin[day], tmax[day], lengths[day])
    if part == "after dusk":
        evening, since, target = day, hour - (12 + lengths[day] / 2), tmin[min(day + 1, len(tmin) - 1)]
    else:
        evening, target = max(day - 1, 0), tmin[day]
        since = hour + 24 - (12 + lengths[evening] / 2)
    length = lengths[evening]
    sunset = by_day(length, tmin[evening], tmax[evening], length)
    if sunless(length):
        sunset = (tmin[evening] + tmax[evening]) / 2
    if since == 0:
        return sunset
    share = math.log(since + 1) / math.log(25 - length) if length < 24 else 1.0
    if 24 - length < 1:
        share = min(share, 1.0)
    return sunset - (sunset - target) * share


def by_day(since_sunrise: float, tmin: float, tmax: float, length: float) -> float:
    return tmin + (tmax - tmin) * math.sin(math.pi * since_sunrise / (length + 4))


def hour_observed(day: int, hour: int, observed: Sequence[bool], lengths: Sequence[float]) -> bool:
    part = part_of_day(day, hour, lengths)
    if part == "before dawn":
        return observed[day] and observed[max(day - 1, 0)]
    if part == "after dusk":
        return observed[day] and observed[min(day + 1, len(observed) - 1)]
    return observed[day]


def utah(t: float) -> float:
    for edge, units in ((1.4, 0.0), (2.4, 0.5), (9.1, 1.0), (12.4, 0.5), (15.9, 0.0), (18.0, -0.5)):
        if t <= edge:
            return units
    return -1.0


class DynamicModel:
    """Fishman, Erez & Couvillon (1987), hour by hour."""

    def __init__(self) -> None:
        self.first = True
        self.product = 0.0
        self.share = 0.0

    def hour(self, t: float) -> float:
        kelvin = t + 273.15
        ratio = math.exp(1.6 * 277 * (kelvin - 277) / kelvin)
        share = ratio / (1 + ratio)
        if self.first:
            self.first = False
        else:
            start = self.product
            if start >= 1:
                start = start * (1 - self.share)
            level = 139500 / 2.567e18 * math.exp((12888.8 - 4153.5) / kelvin)
            rate = 2.567e18 * math.exp(-12888.8 / kelvin)
            self.product = level - (level - start) * math.exp(-rate)
        self.share = share
        return self.product * share if self.product >= 1 else 0.0


def degree_days(tmin: float, tmax: float, base: float, upper: float | None) -> float:
    mean = (tmin + tmax) / 2
    if upper is not None and mean > upper:
        mean = upper
    return mean - base if mean > base else 0.0


def degree_hours(t: float, base: float = 4, optimum: float = 25, critical: float = 36) -> float:
    if base <= t <= optimum:
        return (optimum - base) / 2 * (1 + math.cos(math.pi + math.pi * (t - base) / (optimum - base)))
    if optimum < t <= critical:
        angle = math.pi / 2 + math.pi / 2 * (t - optimum) / (critical - optimum)
        return (optimum - base) * (1 + math.cos(angle))
    return 0.0
