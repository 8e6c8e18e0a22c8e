"""A plain thermal-time forecaster, to try the backtest with; and stations with a made species."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import NormalDist

import numpy as np

from season_engine.measures.chill import chill_portions
from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.phenology.forecast import FloatArray, Forecast, StationRecord
from season_engine.site import Site
from season_engine.traces import day_of_year
from season_engine.weather.climates import COOL_INLAND_NORTH
from season_engine.weather.demo import demo_series
from season_engine.weather.filling import filled
from season_engine.weather.series import DailySeries

FIRST_DAY = 92  # 1 January north
BASE_C = 5.0
DRAWS = np.array([NormalDist().inv_cdf((place + 0.5) / 41) for place in range(41)])


@dataclass(frozen=True)
class SimpleForecaster:
    """Degree days from 1 January on to a need, and a normal error in days."""

    need: float
    sd_days: float

    def at(self, record: StationRecord) -> SimpleAtSite:
        return SimpleAtSite(self, record)


@dataclass(frozen=True)
class SimpleAtSite:
    forecaster: SimpleForecaster
    record: StationRecord

    @cached_property
    def heat(self) -> dict[int, FloatArray]:
        return season_heat(self.record.site, self.record.series)

    def forecast(self, season_year: int, issued_day: int) -> Forecast:
        own = self.heat[season_year]
        pasts = [heat for year, heat in self.heat.items() if year < season_year and not np.isnan(heat).any()]
        traces = [np.append(own[: issued_day + 1], past[issued_day + 1 :]) for past in pasts]
        return self._forecast(traces, issued_day)

    def with_notes(self, noted: Mapping[int, float]) -> SimpleAtSite:
        return replace(self, record=replace(self.record, observed=noted))

    def whole_season(self, season_year: int) -> Forecast:
        return self._forecast([self.heat[season_year]], -1)

    def _forecast(self, traces: list[FloatArray], issued_day: int) -> Forecast:
        reached = np.array([day_reached(trace, self.forecaster.need) for trace in traces])
        days = (reached[:, None] + self.forecaster.sd_days * DRAWS).ravel()
        left = np.sort(days[days > issued_day])
        possible = left[np.isfinite(left)]
        if not left.size:
            return Forecast(np.array([issued_day + 1.0]), np.array([1.0]))
        return Forecast(possible, np.full(possible.size, 1 / left.size), 1 - possible.size / left.size)


def train_simple(records: Sequence[StationRecord], train_until: int) -> SimpleForecaster:
    """The need as the middle of the sums on the days that were seen, the error as its spread in days."""
    seen = [
        (heat[year], day)
        for record in records
        for heat in [season_heat(record.site, record.series)]
        for year, day in record.observed.items()
        if year in heat and year < train_until
    ]
    need = float(np.median([sums[int(day)] for sums, day in seen]))
    errors = [day_reached(sums, need) - day for sums, day in seen]
    return SimpleForecaster(need, float(np.std(errors)))


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
