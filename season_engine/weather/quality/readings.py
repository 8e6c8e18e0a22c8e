"""What a check looks at, and what it finds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.faults import Found
from season_engine.weather.normals import day_of_leap_year, middle_and_spread, through_the_year
from season_engine.weather.series import BoolArray, DailySeries, FloatArray

LOWEST, HIGHEST = 0, 1  # rows of a table of both extremes, as `faults.EXTREMES` names them
FEWEST_USUAL = 100  # readings that make a usual value, and a month (GHCN-Daily, from memory)
SMALLEST_SPREAD_C = 2.0  # so that a frost in an even climate is no outlier
COARSE_SHARE = 0.9  # of the readings; of readings in tenths one in five is a half or whole degree by chance


@dataclass(frozen=True)
class Finding:
    """A run of days on which one or both extremes can't be believed, and why."""

    first: int  # position of the day
    last: int
    rows: tuple[int, ...]  # LOWEST, HIGHEST or both
    what: Found


Find = Callable[["Readings"], Iterable[Finding]]


class Readings:
    """Both extremes of each day, less what earlier checks left out."""

    def __init__(self, series: DailySeries, second: DailySeries | None = None) -> None:
        self.days = series.days
        self.values = np.array([series.tmin_c, series.tmax_c])  # shape (2, days); NaN: missing or left out
        # The second source's readings in this yard's terms on the same days, or None; shape (2, days).
        self.second = None if second is None else np.array([second.tmin_c, second.tmax_c])

    def leave_out(self, found: Iterable[Finding]) -> None:
        """Forget the readings found false, so that later checks aren't misled by them."""
        for one in found:
            self.values[list(one.rows), one.first : one.last + 1] = np.nan

    @cached_property
    def calendar_day(self) -> NDArray[np.int64]:
        """Place in a leap year, shape (days,)."""
        return day_of_leap_year(self.days)

    @cached_property
    def usual(self) -> tuple[FloatArray, FloatArray]:
        """Median and robust spread of 15 days of the year, shape (2, days) both; NaN in a young record."""
        return self._usual(half_window_days=7, fewest=FEWEST_USUAL)

    @cached_property
    def about_usual(self) -> tuple[FloatArray, FloatArray]:
        """The same of 31 days of the year, from far fewer readings."""
        return self._usual(half_window_days=15, fewest=20)

    def _usual(self, *, half_window_days: int, fewest: int) -> tuple[FloatArray, FloatArray]:
        both = [
            through_the_year(
                values, self.calendar_day, middle_and_spread, half_window_days=half_window_days, fewest=fewest
            )
            for values in self.values
        ]
        middle, spread = np.stack(both, axis=1)[..., self.calendar_day]
        return middle, np.maximum(spread, SMALLEST_SPREAD_C)

    @cached_property
    def coarse(self) -> bool:
        """Whether nearly all readings are of half or whole degrees, Celsius or (whole ones) Fahrenheit."""
        values = self.values[~np.isnan(self.values)]
        if not values.size:
            return False
        shares = [np.mean(np.abs(steps - np.round(steps)) < 1e-6) for steps in (values * 2.0, values * 1.8)]
        return bool(max(shares) >= COARSE_SHARE)


def runs(flags: BoolArray) -> Iterator[tuple[int, int]]:
    """First and last position of each run of true flags."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    return zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True)


def both_read(values: FloatArray) -> BoolArray:
    """Days with both extremes, shape (days,), of values shaped (2, days)."""
    low, high = np.isnan(values)
    result: BoolArray = ~(low | high)
    return result
