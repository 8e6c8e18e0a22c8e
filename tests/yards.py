"""Yards with weather, shared by tests."""

from __future__ import annotations

import datetime as dt
from functools import cache, lru_cache
from pathlib import Path

import numpy as np

from season_engine.site import Site
from season_engine.traces import SeasonView
from season_engine.weather.checks import check_and_fill
from season_engine.weather.invented.climates import COOL_INLAND_NORTH, MILD_MARITIME_SOUTH
from season_engine.weather.invented.series import demo_series
from season_engine.weather.logger.reading import read_logger
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin
from tests.once import once_a_run

NORTH = Site("north", 51.5, -30.5, 180)
SOUTH = Site("south", -38.1, -110.5, 60)
NAGANO = Site("nagano", 36.66, 138.19, 418)  # coordinates approximate, see tests/data/japan
TAKAYAMA = Site("takayama", 36.16, 137.25, 560)
KAGOSHIMA = Site("kagoshima", 31.55, 130.55, 4)

STATIONS = Path(__file__).parent / "data" / "japan"
LAST_DAY = dt.date(2025, 12, 31)
LATELY = dt.date(2009, 1, 1)


@cache
def readings(site: Site) -> DailySeries:
    """All readings of one of the sites above, with their gaps."""
    if site in (NORTH, SOUTH):
        return demo_series(COOL_INLAND_NORTH if site is NORTH else MILD_MARITIME_SOUTH, LAST_DAY)
    return once_a_run(f"readings of {site.name}", lambda: read_logger(STATIONS / f"{site.name}.csv"))


def late_readings(site: Site) -> DailySeries:
    """Those of some years only: half as many traces, for what holds of however many."""
    read = readings(site)
    first = (LATELY - read.first_day).days
    return DailySeries(LATELY, read.tmin_c[first:], read.tmax_c[first:])


@cache
def view(site: Site, on: dt.date) -> SeasonView:
    """The site's seasons as they look from a day."""
    return view_on(site, readings(site), on)


@cache
def late_view(site: Site, on: dt.date) -> SeasonView:
    """The same from those of some years only."""
    return view_on(site, late_readings(site), on)


def view_on(site: Site, series: DailySeries, on: dt.date) -> SeasonView:
    """The same from given readings."""
    known = series.cut(on)
    return SeasonView(site, _mended(known.first_day, known.tmin_c.tobytes(), known.tmax_c.tobytes()), on)


@lru_cache(maxsize=128)
def _mended(first_day: dt.date, tmin_c: bytes, tmax_c: bytes) -> Weather:
    """Of the same readings the same, once for all who look at them."""
    series = DailySeries(first_day, np.frombuffer(tmin_c), np.frombuffer(tmax_c))
    return check_and_fill(series, source=GivenOrigin("test"))
