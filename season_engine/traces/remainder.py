"""How much warmer the days borrowed from past years are taken to be than they were."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

YEAR_DAYS = 365
MEMORY_DAYS = 30  # the weeks whose anomaly goes on
FEWEST_YEARS = 5  # with fewer, past years are taken as they were

# Fitted on the twelve stations of tests/data/japan, years to 2005, by tests/benchmarks/fit_remainder.py.
PERSISTENCE = 0.53  # of the last weeks' anomaly, on the next day
FADES_IN_DAYS = 38.0  # to 1/e of that
TREND_SPREAD_C = 0.05  # of stations' warming per year about none
YEAR_SPREAD_C = 0.53  # of a year's mean about the trend
YEARS_KNOWN = 5.0  # weight of that spread against the record's own, in years


def warmer_c(mean_c: FloatArray, back: NDArray[np.int64], lead: NDArray[np.int64]) -> FloatArray:
    """What is added to borrowed days [degC], shape (traces, days).

    `mean_c` are the known daily means, oldest first, without leap days; `back` says how many years back each
    trace borrows, `lead` how many days after the last known one each borrowed day lies. Every year is brought
    to the present by the record's own trend, and what the last 30 days were warmer than they had been in that
    year, trend apart, fades from the next day on.
    """
    if mean_c.size < FEWEST_YEARS * YEAR_DAYS:
        return np.zeros((back.size, lead.size))
    by_trend = trend_c_per_year(mean_c) * back
    ours, theirs = mean_c[-MEMORY_DAYS:].mean(), _last_weeks_c(mean_c, back)
    apart = np.where(np.isnan(theirs), 0.0, ours - (theirs + by_trend))
    return by_trend[:, None] + apart[:, None] * persistence(lead)


def persistence(lead: NDArray[np.int64]) -> FloatArray:
    """Share of the last weeks' anomaly that is left so many days on."""
    return np.asarray(PERSISTENCE * np.exp(-lead / FADES_IN_DAYS))


def trend_c_per_year(mean_c: FloatArray) -> float:
    """Warming by least squares over whole years, the last of which ends with the record.

    Shrunk towards none by as much as the years' scatter leaves it unsure: a few years say next to nothing.
    """
    years = mean_c.size // YEAR_DAYS
    yearly = mean_c[mean_c.size - years * YEAR_DAYS :].reshape(years, YEAR_DAYS).mean(axis=1)
    time = np.arange(years) - (years - 1) / 2
    slope = float(time @ yearly / (time @ time))
    scatter = yearly - yearly.mean() - slope * time
    variance = (scatter @ scatter + YEARS_KNOWN * YEAR_SPREAD_C**2) / (years - 2 + YEARS_KNOWN)
    return slope * TREND_SPREAD_C**2 / (TREND_SPREAD_C**2 + float(variance) / float(time @ time))


def _last_weeks_c(mean_c: FloatArray, back: NDArray[np.int64]) -> FloatArray:
    """Mean of the same weeks so many years back, shape (traces,); NaN where the record begins later."""
    place = mean_c.size - YEAR_DAYS * back[:, None] + np.arange(-MEMORY_DAYS, 0)
    means = mean_c[np.maximum(place, 0)].mean(axis=1)
    return np.where((place >= 0).all(axis=1), means, np.nan)
