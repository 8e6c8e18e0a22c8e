"""Seasons of three sites, north and south, as they look from many days; records of unlike length."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np

from season_engine.site import Season, day_number
from season_engine.traces.cases import Case, SiteRecords
from season_engine.traces.record import Record
from season_engine.weather.filling import filled
from season_engine.weather.series import DailySeries
from tests.yards import KAGOSHIMA, NAGANO, SOUTH, readings

YARDS = (NAGANO, KAGOSHIMA, SOUTH)
SITES = (replace(NAGANO, sun_on_pots="sun"), KAGOSHIMA, replace(SOUTH, bench_frost_allowance_c=2.0))
FIRST_DAYS = (dt.date(2005, 3, 14), dt.date(2012, 1, 1), dt.date(2009, 9, 30))


def case(site: int, year: int, day: int) -> Case:
    """A season as it looks from the end of one of its days."""
    season = Season(year, SITES[site].hemisphere)
    return Case(site, season, day_number(season.start) + day)


# From the eve of a season to its last day and past it, in leap years and others; the last borrows from three
# years, too few to be brought to the present.
CASES = (
    case(0, 2019, 150),  # a leap day in this season
    case(0, 2018, 0),
    case(0, 2019, 40),
    case(1, 2020, -1),
    case(2, 2021, 171),
    case(2, 2019, 300),
    case(1, 2019, 364),
    case(0, 2021, 400),
    case(1, 2014, 200),
)


@cache
def series() -> tuple[DailySeries, ...]:
    """One record a site, whole."""
    return tuple(since(filled(readings(site)), day) for site, day in zip(YARDS, FIRST_DAYS, strict=True))


def since(record: DailySeries, first: dt.date) -> DailySeries:
    """What there is from a day on."""
    later = record.days >= np.datetime64(first)
    return DailySeries(first, record.tmin_c[later], record.tmax_c[later])


def site_records(records: Sequence[DailySeries] | None = None) -> SiteRecords:
    """The sites with their records, or with others."""
    return SiteRecords(SITES, [Record(one) for one in records or series()])


def last_day(one: Case) -> dt.date:
    """The day a case is looked at from."""
    return one.season.date_of(one.known - day_number(one.season.start))
