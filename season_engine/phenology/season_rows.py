"""A station's record as rows of seasons: what the marker models are fitted on and forecast from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import chill_portions
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import sigmoid_forcing
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.phenology.forecast import StationRecord
from season_engine.site import Season, Site, day_number
from season_engine.traces import day_of_year, is_leap_day

FloatArray = NDArray[np.float64]

DAYS = 365  # of a season, from its first; 29 February is left out
OFFSETS_C = (-2.0, -1.0, 0.0, 1.0, 2.0)  # forcing is kept for weather so much warmer, and read in between


@dataclass(frozen=True)
class SeasonRows:
    """Seasons of one station from its first whole one on; days not yet read are NaN."""

    years: NDArray[np.int64]  # first year of each season, shape (seasons,)
    tmin_c: FloatArray  # shape (seasons, days)
    tmax_c: FloatArray
    day_length_h: FloatArray  # shape (days,)
    observed: FloatArray  # the event's day in each season, NaN where nobody noted it

    @cached_property
    def hourly_c(self) -> FloatArray:
        """Hourly temperature, shape (seasons, days, 24)."""
        return hourly_temperatures_c(self.tmin_c, self.tmax_c, self.day_length_h)

    @cached_property
    def mean_c(self) -> FloatArray:
        """Mean of the day's two extremes."""
        return (self.tmin_c + self.tmax_c) / 2

    @cached_property
    def chill(self) -> FloatArray:
        """Chill portions of each day, counted from the season's first."""
        hours = self.hourly_c.reshape(self.years.size, -1)
        return np.asarray(chill_portions(hours).reshape(self.hourly_c.shape).sum(axis=2))

    def forcing(self, steepness_per_c: float, middle_c: float, offset_c: float = 0.0) -> FloatArray:
        """Sigmoid forcing of each day, 0 to 1, in weather `offset_c` warmer than it was."""
        return np.asarray(sigmoid_forcing(self.hourly_c, steepness_per_c, middle_c - offset_c).mean(axis=2))

    def last_day_forcing(self, row: int, day: int, steepness_per_c: float, middle_c: float) -> float:
        """Forcing of a day as known at its end, when the next night is still to come."""
        known = slice(max(day - 1, 0), day + 1)
        hours = hourly_temperatures_c(
            self.tmin_c[row, known], self.tmax_c[row, known], self.day_length_h[known]
        )
        return float(sigmoid_forcing(hours[-1], steepness_per_c, middle_c).mean())

    def whole(self) -> NDArray[np.bool_]:
        """Seasons read to their last day."""
        return np.asarray(~np.isnan(self.tmax_c).any(axis=1))


def season_rows(record: StationRecord) -> SeasonRows:
    """Lay a record out by seasons of 365 days, without 29 February."""
    series, site = record.series, record.site
    keep = ~is_leap_day(series.days)
    tmin, tmax = series.tmin_c[keep], series.tmax_c[keep]
    first = day_number(series.days[keep][0].item())
    seasons = [site.season_on(series.first_day).shifted(n) for n in range(-1, 400)]
    starts = {season.year: day_number(season.start) - first for season in seasons}
    years = [year for year, start in starts.items() if 0 <= start < tmin.size]
    padded = [np.append(values, np.full(DAYS, np.nan)) for values in (tmin, tmax)]
    rows = [np.array([values[starts[year] : starts[year] + DAYS] for year in years]) for values in padded]
    return SeasonRows(
        np.array(years, dtype=np.int64),
        rows[0].reshape(-1, DAYS),
        rows[1].reshape(-1, DAYS),
        season_day_lengths(site.latitude),
        np.array([record.observed.get(year, np.nan) for year in years], dtype=np.float64),
    )


def season_day_lengths(latitude: float) -> FloatArray:
    """Hours of daylight from a season's first day on, shape (365,)."""
    season = Season(2001, Site("", latitude, 0.0).hemisphere)
    days = np.datetime64(season.start, "D") + np.arange(DAYS)
    return day_length_h(latitude, day_of_year(days))
