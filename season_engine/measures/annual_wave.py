"""The year's wave in temperatures: how far it swings, and when it is at its top."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

YEAR_DAYS = 366  # of a leap year: 1 March is the same day in every year


@dataclass(frozen=True, slots=True)
class AnnualWave:
    """A mean with one sine wave a year about it."""

    mean_c: float
    amplitude_c: float  # half the swing from the coldest time of the year to the warmest
    warmest_day: float  # day of a leap year, 0 (1 January) up to 366


def annual_wave(calendar_day: ArrayLike, mean_c: ArrayLike) -> AnnualWave:
    """Fit mean, cosine and sine of the day of the year by least squares.

    Parameters
    ----------
    calendar_day : day of a leap year, 0 for 1 January to 365 for 31 December, shape (days,), in any order.
    mean_c : temperature of each of these days [degC], NaN where there is none; shape (days,).

    Raises ValueError where fewer than three days have a temperature. Days that don't cover the year give a
    wave that means nothing: whether they do is for the caller to see.
    """
    mean = np.asarray(mean_c, dtype=np.float64)
    read = ~np.isnan(mean)
    if np.count_nonzero(read) < 3:
        raise ValueError("a wave needs three days with a temperature at least")
    turn = np.asarray(calendar_day, dtype=np.float64)[read] * (2.0 * np.pi / YEAR_DAYS)
    columns = np.column_stack([np.ones(turn.size), np.cos(turn), np.sin(turn)])
    level, cosine, sine = np.linalg.lstsq(columns, mean[read], rcond=None)[0].tolist()
    top = np.arctan2(sine, cosine) * YEAR_DAYS / (2.0 * np.pi)
    return AnnualWave(level, float(np.hypot(cosine, sine)), float(top % YEAR_DAYS))
