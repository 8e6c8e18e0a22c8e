"""The daily records of the six climates that growers' dates are held against."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from pathlib import Path

from season_engine.traces import SeasonView
from season_engine.verify.station_files import read_sites
from season_engine.verify.weather_file import read_weather
from season_engine.weather.series import DailySeries
from tests.practice.table import FOLDER
from tests.yards import view_on

FIRST_DAY = dt.date(1995, 1, 1)  # growers' dates are of today's climate, as far as thirty years are
JAPAN = FOLDER.parent / "japan" / "twelve"
HARVARD = FOLDER.parent / "harvard"

CLIMATES: dict[str, tuple[str, Path, str]] = {
    "SAP": ("Sapporo", JAPAN, "Sapporo"),
    "NAG": ("Nagano", JAPAN, "Nagano"),
    "TOK": ("Tokyo", JAPAN, "Tokyo"),
    "NEW": ("inland New England", HARVARD, "harvard-forest"),
    "EUR": ("cool Central Europe", FOLDER, "EUR"),
    "SOUTH": ("mild south", FOLDER, "SOUTH"),
}


@cache
def view(climate: str) -> SeasonView:
    """The climate's seasons as they look from the last day of its record."""
    _, folder, station = CLIMATES[climate]
    site = read_sites(folder / "sites.csv")[station]
    series = _from_first_day(read_weather(folder / "weather.csv.gz", [station])[0][station])
    return view_on(replace(site, name=climate), series, series.last_day)


def _from_first_day(series: DailySeries) -> DailySeries:
    before = max(0, (FIRST_DAY - series.first_day).days)
    first_day = series.first_day + dt.timedelta(days=before)
    return DailySeries(first_day, series.tmin_c[before:], series.tmax_c[before:])
