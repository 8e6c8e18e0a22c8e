"""A site's record on a calendar without leap days, and the traces spliced from it."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from season_engine.site import Season, Site, day_number
from season_engine.traces.remainder import warmer_c
from season_engine.traces.trace_set import TraceSet, is_leap_day
from season_engine.weather.series import DailySeries

FloatArray = NDArray[np.float64]


class Record:
    """A filled series without its leap days, addressed by day number (365 to the year)."""

    def __init__(self, series: DailySeries) -> None:
        keep = ~is_leap_day(series.days)
        self.tmin_c = series.tmin_c[keep]
        self.tmax_c = series.tmax_c[keep]
        first = series.days[keep][0].item()
        self.first = day_number(first)
        self.last = self.first + int(self.tmin_c.size) - 1

    @cached_property
    def mean_c(self) -> FloatArray:
        """Mean of the day's two extremes, shape (days,)."""
        return (self.tmin_c + self.tmax_c) / 2

    def spliced(self, site: Site, season: Season) -> TraceSet:
        """Observed so far, then each past year's remainder by calendar date, brought to the present.

        What is borrowed are whole runs of real days, each moved by as much as `warmer_c` says.
        """
        days = _trace_days(season)
        numbers = day_number(season.first_trace_day) + np.arange(days.size)
        observed = int(np.count_nonzero(numbers <= self.last))
        if observed == days.size:
            back = np.array([0])
        else:
            # every borrowed day must lie within the record
            least = -(-(int(numbers[-1]) - self.last) // 365)
            most = (int(numbers[observed]) - self.first) // 365
            back = np.arange(max(least, 1), most + 1)[::-1]
        source = numbers[None, :] - 365 * np.where(np.arange(days.size) < observed, 0, back[:, None])
        warmer = np.zeros(source.shape)
        warmer[:, observed:] = warmer_c(self.mean_c, back, numbers[observed:] - self.last)
        return self._traces(site, season, days, source, back, observed, warmer)

    def whole(self, site: Site, season: Season) -> TraceSet:
        """Every season that lies wholly within the record."""
        days = _trace_days(season)
        numbers = day_number(season.first_trace_day) + np.arange(days.size)
        least = max(-(-(int(numbers[-1]) - self.last) // 365), 0)
        most = (int(numbers[0]) - self.first) // 365
        back = np.arange(least, most + 1)[::-1]
        source = numbers[None, :] - 365 * back[:, None]
        return self._traces(site, season, days, source, back, 0, np.zeros(source.shape))

    def _traces(
        self,
        site: Site,
        season: Season,
        days: NDArray[np.datetime64],
        source: NDArray[np.int64],
        back: NDArray[np.int64],
        observed: int,
        warmer: FloatArray,
    ) -> TraceSet:
        place = np.clip(source - self.first, 0, self.tmin_c.size - 1)
        weights = np.full(back.size, 1 / max(back.size, 1))
        tmin_c, tmax_c = (extreme[place] + warmer for extreme in (self.tmin_c, self.tmax_c))
        return TraceSet(site, season, days, season.year - back, weights, tmin_c, tmax_c, observed)


def _trace_days(season: Season) -> NDArray[np.datetime64]:
    days = np.arange(
        np.datetime64(season.first_trace_day, "D"),
        np.datetime64(season.last_trace_day, "D") + np.timedelta64(1, "D"),
    )
    return days[~is_leap_day(days)]
