"""The daily weather of one season in many traces."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import chill_portions, continued_chill_portions
from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.site import Season, Site, day_number

FloatArray = NDArray[np.float64]
Found = TypeVar("Found")

CHILL_DAYS = 274  # chill is counted for nine months from the start of the season


@dataclass(frozen=True)
class TraceSet:
    """Daily weather of one season, one row a trace; 29 February is left out throughout.

    `labels` are the years the unobserved remainder comes from; the first `observed_days` columns are the
    same in every row. The next `forecast_days` hold a forecast by its share, and none of them is an
    observation.
    """

    site: Site
    season: Season
    days: NDArray[np.datetime64]  # shape (days,)
    labels: NDArray[np.int64]  # shape (traces,)
    weights: FloatArray  # shape (traces,), sum 1
    tmin_c: FloatArray  # shape (traces, days)
    tmax_c: FloatArray  # shape (traces, days)
    observed_days: int
    # as forecast, from the first day that isn't observed, shape (forecast_days,); NaN where a day isn't
    forecast_tmin_c: FloatArray = field(default_factory=lambda: np.empty(0))
    forecast_tmax_c: FloatArray = field(default_factory=lambda: np.empty(0))
    usual: TraceSet | None = None  # whole past seasons as they were; None: these are they

    _worked_out: dict[Hashable, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    def once(self, key: Hashable, work_out: Callable[[], Found]) -> Found:
        """What `work_out` makes of these traces, worked out once for all species that ask by that key."""
        if key not in self._worked_out:
            self._worked_out[key] = work_out()
        found: Found = self._worked_out[key]
        return found

    def __len__(self) -> int:
        return int(self.labels.size)

    @property
    def forecast_days(self) -> int:
        """Columns after the observed ones up to the last that is forecast."""
        return int(self.forecast_tmin_c.size)

    @property
    def season_start(self) -> int:
        """Column of the season's first day."""
        return self.column(self.season.start)

    def column(self, on: dt.date) -> int:
        """Column of a date (29 February counts as 28 February); may lie outside the trace."""
        return day_number(on) - day_number(self.days[0].item())

    def covers(self, on: dt.date, *, days: int) -> bool:
        """Whether a date and so many days after it lie inside the trace."""
        return 0 <= self.column(on) and self.column(on) + days < self.days.size

    def date_of(self, column: float) -> dt.date | None:
        """Date of a column, None for one that is never reached or lies outside the trace."""
        if not np.isfinite(column) or not 0 <= round(column) < self.days.size:
            return None
        found: dt.date = self.days[round(column)].item()
        return found

    @cached_property
    def day_length_h(self) -> FloatArray:
        """Hours of daylight, shape (days,)."""
        return day_length_h(self.site.latitude, day_of_year(self.days))

    @cached_property
    def mean_c(self) -> FloatArray:
        """Mean of the day's two extremes, shape (traces, days)."""
        return (self.tmin_c + self.tmax_c) / 2

    @cached_property
    def hourly_c(self) -> FloatArray:
        """Hourly air temperature, shape (traces, days, 24)."""
        return hourly_temperatures_c(self.tmin_c, self.tmax_c, self.day_length_h)

    @cached_property
    def chill_portions(self) -> FloatArray:
        """Chill portions gained each day from the season's start, shape (traces, days)."""
        first = self.season_start
        hours = self.hourly_c[:, first : first + CHILL_DAYS]
        # The evening of the last observed day leads to a night that no longer is the same in every row.
        alike = 24 * min(max(self.observed_days - 1 - first, 0), hours.shape[1])
        portions = _chill_portions(hours.reshape(len(self), -1), alike).reshape(hours.shape).sum(axis=2)
        gained = np.zeros_like(self.tmin_c)
        gained[:, first : first + portions.shape[1]] = portions
        return gained


def _chill_portions(hourly_c: FloatArray, alike: int) -> FloatArray:
    """Portions of each hour, shape (traces, hours); the first `alike` hours are the same in every row."""
    if alike == 0:
        return chill_portions(hourly_c)
    so_far, store = continued_chill_portions(hourly_c[:1, :alike], None)
    rest, _ = continued_chill_portions(hourly_c[:, alike:], np.repeat(store, len(hourly_c)))
    return np.hstack([np.broadcast_to(so_far, (len(hourly_c), alike)), rest])


def day_of_year(days: NDArray[np.datetime64]) -> FloatArray:
    """Day of the calendar year, 1 to 366, shape of `days`."""
    new_year = days.astype("datetime64[Y]").astype("datetime64[D]")
    place: FloatArray = (days - new_year).astype(np.float64) + 1
    return place


def is_leap_day(days: NDArray[np.datetime64]) -> NDArray[np.bool_]:
    """Whether a day is a 29 February, shape of `days`."""
    months = days.astype("datetime64[M]")
    february = months.astype(np.int64) % 12 == 1
    found: NDArray[np.bool_] = february & ((days - months).astype(np.int64) == 28)
    return found
