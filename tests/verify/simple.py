"""A plain thermal-time forecaster, to try the backtest with; and stations with a made species."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import NormalDist

import numpy as np

from season_engine.phenology.forecast import FloatArray, Forecast, StationRecord
from season_engine.site import Season, Site
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


def made_records(
    sites: int, *, need: float, sd_days: float, seed: int = 1, last_year: int = 2025
) -> list[StationRecord]:
    """Stations of different climates with a species of a known need and a known error of its dates."""
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
        observed = {
            year: round(day_reached(sums, need) + random.normal(0.0, sd_days))
            for year, sums in season_heat(site, series).items()
            if year < last_year and np.isfinite(day_reached(sums, need))
        }
        records.append(StationRecord(site, series, {year: float(day) for year, day in observed.items()}))
    return records


def season_of(record: StationRecord, year: int) -> Season:
    return Season(year, record.site.hemisphere)
