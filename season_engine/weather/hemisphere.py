"""Whether the year's warmth comes when it does on that side of the equator: a latitude without its minus.

The rule. To a year or more of daily means (nine tenths of the calendar's days among them) a wave is fitted:
mean, cosine and sine of the day of the year. Where it swings by more than 3 degC either way, and its top
lies more than 105 days from the middle of the hemisphere's warm half, 25 July north and 25 January south,
the record is taken for one from across the equator. So a northern site is doubted for a top between 7
November and 11 April, a southern one for a top between 9 May and 12 October. Everything else is left alone:
flatter years, shorter records, and places within 12 degrees of the equator, whose warmth follows the rains.

The margins. Of some fifty climates from 68 degrees north to 55 south (monthly means from memory) those that
swing by more than 3 degC and lie farther than 12 degrees from the equator have their tops from 57 days
before that middle (southern India, warm before its rains) to 38 after it (a coast with cold water). Single
years stray by some two weeks more. With the wrong sign the same places are 126 days off or more.
"""

from __future__ import annotations

import datetime as dt

import numpy as np

from season_engine.errors import GrowerError
from season_engine.measures.annual_wave import YEAR_DAYS, annual_wave
from season_engine.site import Hemisphere, Site
from season_engine.weather.normals import day_of_leap_year
from season_engine.weather.quality.readings import both_read
from season_engine.weather.series import BoolArray, DailySeries, Weather

LEAP_YEAR_START = dt.date(2000, 1, 1)
WARM_MIDDLE: dict[Hemisphere, dt.date] = {"north": dt.date(2000, 7, 25), "south": dt.date(2000, 1, 25)}
FLATTEST_C = 3.0
NEAREST_EQUATOR_DEG = 12.0
FARTHEST_DAYS = 105
SHORTEST_DAYS = 365
LEAST_OF_CALENDAR = 0.9


def other_hemisphere(weather: Weather, site: Site, written: str = "latitude = {}") -> tuple[str, str] | None:
    """What is wrong where a site's readings are warm in the other hemisphere's summer, and what to do.

    None where nothing is wrong. The site's own readings are looked at; where they are too few, those of a
    second source with them. The weather must have been cut at the day that counts as today.
    """
    for read in () if weather.invented else (weather.observed, weather.covered):
        if has_a_year(weather.series, read):
            warmest = warmest_across_the_equator(site, weather.series, read)
            return told(site, weather.source.name, warmest, written) if warmest else None
    return None


def refuse_other_hemisphere_of(series: DailySeries, site: Site, source: str, option: str) -> None:
    """The same for readings that belong to no workspace yet; `option` is where the latitude was given."""
    read = both_read(np.array([series.tmin_c, series.tmax_c]))
    if warmest := warmest_across_the_equator(site, series, read):
        problem, hint = told(site, source, warmest, f"{option} {{}}")
        raise GrowerError(problem, hint=hint, field=option)


def told(site: Site, source: str, warmest: dt.date, written: str = "latitude = {}") -> tuple[str, str]:
    """What is wrong with a site's latitude, and what to do about it; `written` is how one is given there."""
    here, there = ("south", "north") if site.hemisphere == "south" else ("north", "south")
    return (
        f"the year of the {source} is warmest about {warmest.day} {warmest:%B}, as it is {there} of the "
        f"equator; {written.format(site.latitude)} lies {here} of it.",
        f"Write {written.format(-site.latitude)}. If the place is right, the readings are another place's, "
        "or their dates are wrong.",
    )


def warmest_across_the_equator(site: Site, series: DailySeries, read: BoolArray) -> dt.date | None:
    """The warmest time of the year, in the year 2000, where it is that of the other hemisphere; else None.

    `read` are the days to look at, shape (days,). None as well where these readings can't tell.
    """
    if abs(site.latitude) <= NEAREST_EQUATOR_DEG or not has_a_year(series, read):
        return None
    mean_c = (series.tmin_c + series.tmax_c) / 2.0
    wave = annual_wave(day_of_leap_year(series.days[read]), mean_c[read])
    if wave.amplitude_c <= FLATTEST_C or _apart(wave.warmest_day, site.hemisphere) <= FARTHEST_DAYS:
        return None
    return LEAP_YEAR_START + dt.timedelta(days=int(wave.warmest_day))


def hemisphere_of(series: DailySeries) -> Hemisphere | None:
    """The hemisphere whose summer a year or more of readings speaks for; None where they can't tell."""
    read = both_read(np.array([series.tmin_c, series.tmax_c]))
    if not has_a_year(series, read):
        return None
    mean_c = (series.tmin_c + series.tmax_c) / 2.0
    wave = annual_wave(day_of_leap_year(series.days[read]), mean_c[read])
    near = YEAR_DAYS / 2 - FARTHEST_DAYS
    sides = (side for side in WARM_MIDDLE if _apart(wave.warmest_day, side) <= near)
    return next(sides, None) if wave.amplitude_c > FLATTEST_C else None


def _apart(warmest_day: float, side: Hemisphere) -> float:
    """Days between the warmest time of a year and the middle of a hemisphere's warm half."""
    middle = (WARM_MIDDLE[side] - LEAP_YEAR_START).days
    return abs((warmest_day - middle + YEAR_DAYS / 2) % YEAR_DAYS - YEAR_DAYS / 2)


def has_a_year(series: DailySeries, read: BoolArray) -> bool:
    """Whether the days read run over a year, with most days of the calendar among them."""
    days = series.days[read]
    if not days.size or int((days[-1] - days[0]).astype(np.int64)) + 1 < SHORTEST_DAYS:
        return False
    return int(np.count_nonzero(np.bincount(day_of_leap_year(days)))) >= LEAST_OF_CALENDAR * SHORTEST_DAYS
