"""How much warmer the days borrowed from past years are taken to be than they were."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

YEAR_DAYS = 365
MEMORY_DAYS = 30  # the weeks whose anomaly goes on
FEWEST_YEARS = 5  # with fewer, past years are taken as they were

# Fitted on the twelve stations of tests/data/japan, years to 2005, by tests/benchmarks/fit_remainder.py.
PERSISTENCE = 0.53  # of the last weeks' anomaly, on the next day
FADES_IN_DAYS = 38.0  # to 1/e of that
TREND_SPREAD_C = 0.05  # of stations' warming per year about none
YEAR_SPREAD_C = 0.53  # of a year's mean about the trend
YEARS_KNOWN = 5.0  # weight of that spread against the record's own, in years


@dataclass(frozen=True)
class KnownDays:
    """Daily means as they are known in each case: `mean_c[end - size : end]`, oldest first, no leap days."""

    mean_c: FloatArray  # records one after another, shape (days,)
    end: IntArray  # shape (cases,)
    size: IntArray  # shape (cases,)

    def warmer_c(self, back: IntArray, lead: IntArray) -> FloatArray:
        """What is added to borrowed days [degC], shape (cases, traces, days).

        `back` says how many years back each trace borrows, shape (cases, traces), `lead` how many days after
        the last known one each borrowed day lies, shape (cases, days). Every year is brought to the present
        by the record's own trend, and what the last 30 days were warmer than they had been in that year,
        trend apart, fades from the next day on.
        """
        by_trend = self.trend_c_per_year[:, None] * back
        ours = self._last_weeks_c(np.zeros((back.shape[0], 1), np.int64))
        theirs = self._last_weeks_c(back)
        apart = np.where(np.isnan(theirs), 0.0, ours - (theirs + by_trend))
        warmer = by_trend[..., None] + apart[..., None] * persistence(lead)[:, None, :]
        enough = self.size >= FEWEST_YEARS * YEAR_DAYS
        return np.where(enough[:, None, None], warmer, 0.0)

    @cached_property
    def trend_c_per_year(self) -> FloatArray:
        """Warming by least squares over whole years, the last of which ends with the known days; (cases,).

        Shrunk towards none by as much as the years' scatter leaves it unsure: few years say next to nothing.
        """
        years = self.size // YEAR_DAYS
        back = np.arange(int(years.max(initial=0)), 0, -1)
        there = back <= years[:, None]
        yearly = np.where(there, self._yearly_c(back), 0.0)
        count = np.maximum(years, 1)[:, None]
        time = np.where(there, (count + 1) / 2 - back, 0.0)
        squares = np.maximum((time**2).sum(axis=1), 0.5)
        slope = (time * yearly).sum(axis=1) / squares
        mean = yearly.sum(axis=1, keepdims=True) / count
        scatter = np.where(there, yearly - mean - slope[:, None] * time, 0.0)
        variance = (scatter**2).sum(axis=1) + YEARS_KNOWN * YEAR_SPREAD_C**2
        variance = variance / np.maximum(years - 2 + YEARS_KNOWN, 1.0)
        return np.asarray(slope * TREND_SPREAD_C**2 / (TREND_SPREAD_C**2 + variance / squares))

    def _yearly_c(self, back: IntArray) -> FloatArray:
        """Mean of each year that ends with the known days, so many years back, shape (cases, years)."""
        place = self.end[:, None, None] - YEAR_DAYS * back[:, None] + np.arange(YEAR_DAYS)
        return np.asarray(self.mean_c[np.maximum(place, 0)].mean(axis=2))

    def _last_weeks_c(self, back: IntArray) -> FloatArray:
        """Mean of the last weeks, so many years back, shape of `back`; NaN where the record begins later."""
        place = self.end[:, None, None] - YEAR_DAYS * back[..., None] + np.arange(-MEMORY_DAYS, 0)
        means = self.mean_c[np.maximum(place, 0)].mean(axis=2)
        return np.where(place[..., 0] >= (self.end - self.size)[:, None], means, np.nan)


def persistence(lead: IntArray) -> FloatArray:
    """Share of the last weeks' anomaly that is left so many days on."""
    return np.asarray(PERSISTENCE * np.exp(-lead / FADES_IN_DAYS))
