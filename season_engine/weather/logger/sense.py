"""Whether temperatures can be those of the air outdoors at the place, in the season and by the sun.

The margins are ours, and wide: nobody's real yard shall be refused, and what lies outside is another unit,
another clock, another place or no sensor outdoors. The range of means is drawn from climates known from
memory, of coasts and of the middles of continents, with 9 degC above the warmer and 14 degC below the colder.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np

from season_engine.errors import GrowerError
from season_engine.facts import Units
from season_engine.site import Site
from season_engine.weather.logger.clocks import MINUTES_PER_DEGREE
from season_engine.weather.logger.dates import DAY_SECONDS
from season_engine.weather.logger.full_days import full_days, usual_hours_apart
from season_engine.weather.logger.on_change import is_on_change
from season_engine.weather.logger.order import IntArray
from season_engine.weather.series import BoolArray, FloatArray

_LATITUDES = (0, 10, 20, 30, 40, 50, 60, 70, 90)
_COAST_C = (27.5, 27.5, 26, 21, 16, 12, 8, 3, -8)  # means of the year at the sea
_COAST_SWING_C = (0.5, 1, 2.5, 4, 5, 5, 5, 5, 8)  # from that to the warmest and coldest month
_INLAND_C = (27, 28, 27, 22, 13, 5, -3, -12, -20)
_INLAND_SWING_C = (2, 4, 8, 12, 16, 19, 22, 22, 22)
_ABOVE_C, _BELOW_C, _BELOW_IN_THE_NORTH_C = 9.0, 14.0, 20.0
_NORTH_DEG = 55
_KELVIN = 273.15
_LAPSE_C_PER_KM = 6.5
_HOT_PLATEAU_M, _PLATEAU_LAPSE_C_PER_KM = 1500.0, 3.0  # summers on plateaus are hotter than the lapse says
_UNKNOWN_HEIGHT_C = 16.0  # a yard whose height isn't known may lie at 2,500 m
_WARMEST_DAY = {"north": 201, "south": 18}
_YEAR_DAYS = 365.25
# Where Fahrenheit is usual, by longitude and latitude, and Canada's towns left out
_FAHRENHEIT = (
    (-125.0, -83.0, 24.5, 49.1),
    (-83.0, -75.0, 24.5, 43.3),
    (-75.0, -66.5, 24.5, 45.1),
    (-170.0, -141.0, 54.0, 71.5),
)

# Of the wave fitted to the mean day, by the sun; the exports' own lie within 15 and 16.3
_WARMEST_HOUR = (12.8, 17.6)
_NIGHT_OVER, _NIGHT_FALLS = (
    9.0,
    20.0,
)  # where the grower says which clock it is, only what is plainly wrong is refused
_EARLIEST_BY_CLOCK, _LATEST_HOUR = 13.9, 16.5
_AHEAD_HOURS = 1.9  # of the sun are clocks of a place at the most, summer time included, but for these:
# west Europe, west China and Alaska, by longitude and latitude
_FAR_AHEAD = (
    (-11.0, 9.0, 35.0, 53.0, 2.7),
    (73.0, 105.0, 18.0, 54.0, 3.2),
    (-180.0, -141.0, 51.0, 72.0, 3.2),
)
_LEAST_SWING_C = 1.0  # of that wave: with less there is no telling
_FEWEST_DAYS = 5
_DAY_MINUTES = 1440
_STILL_C, _STILL_FROM_C, _STILL_TO_C = (
    1.2,
    14.0,
    28.0,
)  # days with less between low and high, at a room's warmth
_CODE_APART_C, _LONE_APART_C = 12.0, 20.0
_CODE_GAP_C = 8.0
_FEWEST_FOR_CODES = 8
_NEAR_SECONDS = 3 * 3600


def usual_range_c(site: Site, days: IntArray) -> tuple[float, float]:
    """Between which means over days (since 1970) a yard's outdoor air lies."""
    latitude = abs(site.latitude)
    first = int(days.min())
    count = np.bincount(days - first)
    day_of_year = (first + np.arange(count.size) + 0.5) % _YEAR_DAYS
    cosine = np.cos(2 * np.pi * (day_of_year - _WARMEST_DAY[site.hemisphere]) / _YEAR_DAYS)
    wave = float(np.average(cosine, weights=count))
    coast, inland = (
        float(np.interp(latitude, _LATITUDES, mean) + wave * np.interp(latitude, _LATITUDES, swing))
        for mean, swing in ((_COAST_C, _COAST_SWING_C), (_INLAND_C, _INLAND_SWING_C))
    )
    height_m = site.elevation_m or 0.0
    colder_c = _LAPSE_C_PER_KM * height_m / 1000.0 + (_UNKNOWN_HEIGHT_C if site.elevation_m is None else 0.0)
    cooler_c = _PLATEAU_LAPSE_C_PER_KM * max(0.0, height_m - _HOT_PLATEAU_M) / 1000.0
    below_c = _BELOW_IN_THE_NORTH_C if latitude > _NORTH_DEG else _BELOW_C
    return min(coast, inland) - below_c - colder_c, max(coast, inland) + _ABOVE_C - cooler_c


Verdict = Literal["fits", "other unit", "either unit", "neither"]


def unit_verdict(mean: float, units: Units, low_c: float, high_c: float) -> Verdict:
    """Whether a mean fits a place's season in its unit, in the other, or in neither."""
    as_c, as_f = low_c <= mean <= high_c, low_c <= (mean - 32.0) / 1.8 <= high_c
    here, there = (as_c, as_f) if units == "degC" else (as_f, as_c)
    if here:
        return "either unit" if there else "fits"
    return "other unit" if there else "neither"


def refuse_other_unit(
    numbers: FloatArray, days: IntArray, units: Units, site: Site, file: str, field: str
) -> None:
    """Raise GrowerError where numbers whose unit is told nowhere are likely of the other unit."""
    low_c, high_c = usual_range_c(site, days)
    mean = float(np.mean(numbers))
    if low_c <= mean - _KELVIN <= high_c:
        problem = f"no unit is told, and this looks like kelvins: the readings are {mean:.0f} on the mean."
        hint = 'Export it in degrees Celsius or Fahrenheit, or name the column so that it says K: "temp [K]".'
        raise GrowerError(problem, hint=hint, file=file, field=field)
    verdict = unit_verdict(mean, units, low_c, high_c)
    other, name = ("degF", "Fahrenheit") if units == "degC" else ("degC", "Celsius")
    if verdict == "other unit" or (verdict == "neither" and units == "degC" and mean > 60):
        problem = f"no unit is told, and this looks like {name}: the readings are {mean:.0f} on the mean."
        hint = f'Write units = "{other}" under [site.weather], or units = "{units}" if that is right.'
        raise GrowerError(problem, hint=hint, file=file, field=field)
    if verdict == "either unit" and units == "degC" and _fahrenheit_is_usual(site):
        problem = f"no unit is told, and {mean:.0f} on the mean may be Celsius or Fahrenheit here."
        raise GrowerError(
            problem,
            hint='Write units = "degF" or units = "degC" under [site.weather].',
            file=file,
            field=field,
        )


def _fahrenheit_is_usual(site: Site) -> bool:
    return any(
        west <= site.longitude <= east and south <= site.latitude <= north
        for west, east, south, north in _FAHRENHEIT
    )


def refuse_other_season(
    mean_c: float, days: IntArray, site: Site, file: str, field: str, role: str = "temp"
) -> None:
    """Raise GrowerError where the mean can't be that of the air outdoors at the place in these months."""
    low_c, high_c = usual_range_c(site, days)
    if low_c <= mean_c <= high_c:
        return
    first, last = (dt.date(1970, 1, 1) + dt.timedelta(days=int(day)) for day in (days.min(), days.max()))
    problem = (
        f"a mean of {mean_c:.1f} degC from {first} to {last} can't be the air outdoors at latitude "
        f"{site.latitude:g}."
    )
    hint = (
        "Perhaps the sensor hangs indoors, the unit is another, day and month are changed about, or the "
        "latitude is wrong. If all is right, write units and columns under [site.weather], such as "
        f'columns = {{ {role} = "{field}" }}.'
    )
    raise GrowerError(problem, hint=hint, file=file, field=field)


def refuse_still_air(tmin_c: FloatArray, tmax_c: FloatArray, file: str, field: str) -> None:
    """Raise GrowerError where days are hardly warmer than nights, as in a room, and nowhere outdoors."""
    both = ~(np.isnan(tmin_c) | np.isnan(tmax_c))
    if np.count_nonzero(both) < _FEWEST_DAYS:
        return
    range_c = float(np.median(tmax_c[both] - tmin_c[both]))
    mean_c = float(np.mean(tmin_c[both] + tmax_c[both])) / 2
    if range_c < _STILL_C and _STILL_FROM_C <= mean_c <= _STILL_TO_C:
        problem = (
            f"day and night differ by {range_c:.1f} degC only: this sensor doesn't seem to hang outdoors."
        )
        hint = f'If it does, write columns = {{ temp = "{field}" }} under [site.weather].'
        raise GrowerError(problem, hint=hint, file=file, field=field)


def warmest_hour(seconds: IntArray, temp_c: FloatArray) -> float | None:
    """The hour in which the wave of a day fitted to all readings is highest; None where none can be told."""
    read = ~np.isnan(temp_c)
    seconds, temp_c = seconds[read], temp_c[read]
    if not seconds.size:
        return None
    first = int(seconds.min()) // DAY_SECONDS
    day, of_day = seconds // DAY_SECONDS - first, seconds % DAY_SECONDS // 60
    changed, apart = is_on_change(seconds, temp_c), usual_hours_apart(seconds)
    whole = full_days(seconds, first, int(day.max()) + 1, on_change=changed, hours_apart=apart)
    if np.count_nonzero(whole) < _FEWEST_DAYS:
        return None
    sums = np.bincount(day, temp_c)
    anomaly_c = temp_c - (sums / np.maximum(np.bincount(day), 1))[day]
    used: BoolArray = whole[day]
    count = np.bincount(of_day[used], minlength=_DAY_MINUTES)
    mean_c = np.bincount(of_day[used], anomaly_c[used], _DAY_MINUTES) / np.maximum(count, 1)
    angle = 2 * np.pi * np.arange(_DAY_MINUTES) / _DAY_MINUTES
    waves = np.column_stack([np.ones(_DAY_MINUTES), np.cos(angle), np.sin(angle)]) * np.sqrt(count)[:, None]
    _, cosine, sine = np.linalg.lstsq(waves, mean_c * np.sqrt(count), rcond=None)[0]
    if np.hypot(cosine, sine) < _LEAST_SWING_C:
        return None
    return float(np.arctan2(sine, cosine) / (2 * np.pi) * 24 % 24)


def refuse_other_clock(
    seconds: IntArray,
    temp_c: FloatArray,
    site: Site,
    *,
    by_the_sun: bool,
    set_so: bool,
    file: str,
    field: str,
) -> None:
    """Raise GrowerError where it is warmest at an hour at which it can't be by the clock of the place."""
    hour = warmest_hour(seconds, temp_c)
    if hour is None:
        return
    early, late = (_NIGHT_OVER, _NIGHT_FALLS) if set_so else _WARMEST_HOUR
    if not by_the_sun:
        early, late = _EARLIEST_BY_CLOCK, _LATEST_HOUR + _most_ahead(site)
    if early <= hour <= late:
        return
    shown = f"{int(hour):02d}:{int(hour % 1 * 60):02d}"
    problem = f"by these times it is warmest about {shown}: they don't seem to be of the yard's own clock."
    in_utc = (hour + site.longitude * MINUTES_PER_DEGREE / 60) % 24
    if by_the_sun:
        problem = f"by these times and their zone it is warmest about {shown} by the sun."
        hint = "Look whether the longitude is right, and the clock under [site.weather]."
    elif _WARMEST_HOUR[0] - 0.5 <= in_utc <= _WARMEST_HOUR[1] + 0.5:
        hint = 'They look like UTC: if they are, write clock = "UTC" under [site.weather].'
    else:
        hint = 'Write which clock they are of under [site.weather], such as clock = "UTC" or clock = "UTC+2".'
    raise GrowerError(problem, hint=hint, file=file, field=field)


def _most_ahead(site: Site) -> float:
    """How many hours clocks of a place may be ahead of its sun."""
    for west, east, south, north, hours in _FAR_AHEAD:
        if west <= site.longitude <= east and south <= site.latitude <= north:
            return hours
    return _AHEAD_HOURS


def codes_among(seconds: IntArray, temp_c: FloatArray) -> BoolArray:
    """Readings that are a sensor's sign for a fault: a value far from all others, come to and left at a leap.

    `seconds` in order of time, `temp_c` without NaN, both of shape (readings,).
    """
    found: BoolArray = np.zeros(temp_c.size, dtype=bool)
    for _ in range(4):
        values = temp_c[~found] if found.any() else temp_c
        low, high = values.min(initial=np.inf), values.max(initial=-np.inf)
        inner = values[(values > low) & (values < high)]
        if inner.size < _FEWEST_FOR_CODES:
            break
        before = int(found.sum())
        for value, gap in ((low, inner.min() - low), (high, high - inner.max())):
            if gap < _CODE_GAP_C:
                continue
            good = np.flatnonzero(~found)
            at = good[temp_c[good] == value]
            if at.size <= 0.1 * good.size and _leaps(seconds, temp_c, good, at):
                found[at] = True
        if int(found.sum()) == before:
            break
    return found


def _leaps(seconds: IntArray, temp_c: FloatArray, good: IntArray, at: IntArray) -> bool:
    """Whether each of these readings lies far from those before and after, which are near in time."""
    value = temp_c[at[0]]
    others = good[temp_c[good] != value]
    apart = _LONE_APART_C if at.size == 1 else _CODE_APART_C
    after = np.searchsorted(others, at)
    for one, place in zip(at.tolist(), after.tolist(), strict=True):
        for side in (place - 1, place):
            if not 0 <= side < others.size:
                continue
            other = others[side]
            if (
                abs(int(seconds[other] - seconds[one])) <= _NEAR_SECONDS
                and abs(temp_c[other] - value) < apart
            ):
                return False
    return True
