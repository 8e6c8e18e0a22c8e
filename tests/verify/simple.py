"""Stations with a made species, and the rule that it follows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.kinds.heat_after import HeatAfter
from season_engine.markers.kinds.season_day import SeasonDay
from season_engine.measures.chill import chill_portions
from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.phenology.rule import Rule
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Site
from season_engine.species.catalogue import Species
from season_engine.traces import day_of_year
from season_engine.weather.filling import filled
from season_engine.weather.invented.climates import COOL_INLAND_NORTH
from season_engine.weather.invented.series import demo_series
from season_engine.weather.series import DailySeries

FloatArray = NDArray[np.float64]

FIRST_DAY = 92  # 1 January north
BASE_C = 5.0


def thermal_rule(need: float, sd_days: float) -> Rule:
    """Degree days from 1 January on to a need, and an error that strays from year to year."""
    start = SeasonDay.model_validate(
        {"kind": "season_day", "label": "the new year begins", "day": FIRST_DAY, "from": "memory"}
    )
    event = HeatAfter.model_validate(
        {"kind": "heat_after", "label": "the made species flowers", "after": "new_year", "need": need}
        | {"unit": f"growing degree days above {BASE_C:g} degC", "bbch": 61, "from": "memory"}
        | {"sd_days": sd_days, "year_sd_days": sd_days}
    )
    return Rule(
        Species("Arbor ficta", "", ("made tree",), (), {"new_year": start, "flowers": event}, (), {}),
        "flowers",
    )


def season_heat(site: Site, series: DailySeries) -> dict[int, FloatArray]:
    """Running sums of degree days by season, NaN after the record's end; only seasons begun inside it."""
    keep = ~np.char.endswith(np.datetime_as_string(series.days, unit="D"), "-02-29")
    heat = np.maximum((series.tmin_c + series.tmax_c)[keep] / 2 - BASE_C, 0.0)
    days = series.days[keep]
    result = {}
    season = site.season_on(series.first_day).shifted(1)
    while season.start <= series.last_day:
        first = int(np.searchsorted(days, np.datetime64(season.start)))
        own = np.full(365, np.nan)
        own[: heat.size - first] = heat[first : first + 365]
        own[:FIRST_DAY] = 0.0
        result[season.year] = own
        season = season.shifted(1)
    return {year: np.cumsum(own) for year, own in result.items()}


def day_reached(sums: FloatArray, need: float) -> float:
    reached = np.flatnonzero(sums >= need)
    return float(reached[0]) if reached.size else np.inf


SeasonLevels = Callable[[Site, DailySeries], dict[int, FloatArray]]


def season_softened(site: Site, series: DailySeries) -> dict[int, FloatArray]:
    """The same of hourly forcing from 1 January, 1 / (1 + exp(-0.3 (T - 12))), worth more after more chill.

    Written out from its formula; only the hours and the chill portions are the engine's, checked elsewhere.
    """
    day_length = day_length_h(site.latitude, day_of_year(series.days))
    hours = hourly_temperatures_c(series.tmin_c, series.tmax_c, day_length)
    forcing = (1.0 / (1.0 + np.exp(-0.3 * (hours - 12.0)))).mean(axis=1)
    level = {}
    season = site.season_on(series.first_day).shifted(1)
    while season.start <= series.last_day:
        first = (season.start - series.first_day).days
        own = slice(first, first + 366)
        keep = ~np.char.endswith(np.datetime_as_string(series.days[own], unit="D"), "-02-29")
        chill = chill_portions(hours[own].ravel()).reshape(-1, 24).sum(axis=1)[keep][:365]
        warmth = np.where(np.arange(365)[: chill.size] >= FIRST_DAY, forcing[own][keep][:365], 0.0)
        whole = np.full(365, np.nan)
        whole[: chill.size] = np.cumsum(warmth) * np.exp(0.012 * np.cumsum(chill))
        level[season.year] = whole
        season = season.shifted(1)
    return level


def made_records(
    sites: int,
    *,
    need: float,
    sd_days: float,
    levels: SeasonLevels = season_heat,
    seed: int = 1,
    last_year: int = 2025,
) -> tuple[list[StationRecord], dict[tuple[str, int], float]]:
    """Stations of different climates with a species of a known need and a known error of its dates.

    And the days without that error, by site and season.
    """
    truth: dict[tuple[str, int], float] = {}
    random = np.random.default_rng(seed)
    records = []
    for place in range(sites):
        warmer = 0.7 * (place % 6) - 1.5
        climate = replace(
            COOL_INLAND_NORTH,
            seed=100 + place,
            mean_c=tuple(mean + warmer for mean in COOL_INLAND_NORTH.mean_c),
        )
        site = Site(f"site-{place}", 51.0 - 0.2 * place, 11.0)
        series = filled(demo_series(climate, dt.date(last_year, 12, 31)))
        observed = {}
        for year, level in levels(site, series).items():
            day = day_reached(level, need)
            if year < last_year and np.isfinite(day):
                truth[site.name, year] = day
                observed[year] = float(round(day + random.normal(0.0, sd_days)))
        records.append(StationRecord(site, series, observed))
    return records, truth
