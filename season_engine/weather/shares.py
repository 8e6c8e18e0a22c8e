"""What the days under a number rest on."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from season_engine.weather.series import Weather


@dataclass(frozen=True, slots=True)
class Shares:
    """Parts of some days, 0 to 1, that were read here, adjusted from a second source, or filled; sum 1."""

    days: int  # of those asked for, how many the record holds
    observed: float
    adjusted: float
    filled: float


def shares(weather: Weather, first_day: dt.date | None = None, last_day: dt.date | None = None) -> Shares:
    """Shares over the days from `first_day` to `last_day`, both included, that lie inside the record.

    Without a day the record's own end is taken. All three are 0 where the record holds none of the days.
    """
    start = 0 if first_day is None else max(0, (first_day - weather.series.first_day).days)
    stop = len(weather.series) if last_day is None else (last_day - weather.series.first_day).days + 1
    days = slice(start, max(start, stop))
    observed, covered = weather.observed[days], weather.covered[days]
    if not observed.size:
        return Shares(0, 0.0, 0.0, 0.0)
    read, known = (int(np.count_nonzero(part)) for part in (observed, covered))
    size = observed.size
    return Shares(size, read / size, (known - read) / size, (size - known) / size)
