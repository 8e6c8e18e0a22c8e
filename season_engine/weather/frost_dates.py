"""When frost comes last in spring and first in autumn, by a record's own winters."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from season_engine.measures.frost import FreezeNormals, first_frosts, freeze_normals, last_frosts
from season_engine.site import Hemisphere, Season, Site
from season_engine.weather.normals import day_of_leap_year
from season_engine.weather.series import FloatArray, Weather

FROST_C = 0.0  # a freeze, in the words of the US National Weather Service; see `measures.frost`
FEWEST_WINTERS = 10  # with fewer, one year in ten is a guess; our judgement
# Places in `day_of_leap_year`: of 29 February, 24 July and 24 January; see `measures.frost`.
LEAP_DAY = 59
HIGH_SUMMER: dict[Hemisphere, int] = {"north": 205, "south": 23}


@dataclass(frozen=True)
class FrostDates:
    """First frosts of autumn or last ones of spring: dates by which they have come, in the running winter.

    A winter without frost has its first later than any date and its last before any; a date that lies there
    is None.
    """

    winters: int  # that can be told
    share_with_frost: float
    p10: dt.date | None
    p50: dt.date | None
    p90: dt.date | None


@dataclass(frozen=True)
class FrostSeason:
    """Both ends of the season of frosts."""

    level_c: float
    first: FrostDates
    last: FrostDates


def frost_season(site: Site, weather: Weather, on: dt.date) -> FrostSeason | None:
    """First and last frosts by what was read here or beside; None where too few winters can be told.

    Winters run from high summer to high summer; the dates are those of the one that `on` lies in.
    """
    tmin_c = winters(site, weather)
    first, last = first_frosts(tmin_c, FROST_C), last_frosts(tmin_c, FROST_C)
    if min(np.count_nonzero(~np.isnan(days)) for days in (first, last)) < FEWEST_WINTERS:
        return None
    summer = high_summer_before(on, site.hemisphere)
    autumns, springs = freeze_normals(first), freeze_normals(last)
    return FrostSeason(
        FROST_C,
        _dates(autumns, [autumns.day_of_first(chance) for chance in (0.1, 0.5, 0.9)], summer, site),
        # Come by a date in one year of ten is still to come after it in nine.
        _dates(springs, [springs.day_of_last(chance) for chance in (0.9, 0.5, 0.1)], summer, site),
    )


def winters(site: Site, weather: Weather) -> FloatArray:
    """Lowest temperatures [degC] from high summer to high summer, a row a whole winter of 365 days.

    29 February is left out; NaN where a day was filled. Winters that the record cuts don't count, since one
    would only if its frost happened to fall into the part that is there.
    """
    place = day_of_leap_year(weather.series.days)
    kept = place != LEAP_DAY
    tmin_c: FloatArray = np.where(weather.covered, weather.series.tmin_c, np.nan)[kept]
    starts = np.flatnonzero(place[kept] == HIGH_SUMMER[site.hemisphere])
    whole = slice(starts[0], starts[0] + (tmin_c.size - starts[0]) // 365 * 365) if starts.size else slice(0)
    return tmin_c[whole].reshape(-1, 365)


def high_summer_before(day: dt.date, hemisphere: Hemisphere) -> dt.date:
    """The day that parts spring from autumn, the last one up to `day`."""
    this_year = dt.date(day.year, 7 if hemisphere == "north" else 1, 24)
    return this_year if day >= this_year else this_year.replace(year=day.year - 1)


def _dates(normals: FreezeNormals, days: list[float], summer: dt.date, site: Site) -> FrostDates:
    season = Season(summer.year, site.hemisphere)
    start = season.day_of(summer)
    p10, p50, p90 = (season.date_of(start + round(day)) if np.isfinite(day) else None for day in days)
    return FrostDates(normals.years, normals.share_with_frost, p10, p50, p90)
