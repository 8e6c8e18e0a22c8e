"""A pot at several sites: the temperatures in its middle through all traces of a season.

What `root_zone_extremes` works out by the hour. An hour of air is a sum of a few numbers of its day and the
next (the day's extremes, its two sunsets, its beam and its sky), by shares that hang on the site's calendar
alone; so is all that a pot makes of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.day_response import day_response
from season_engine.measures.root_zone_extremes import sun_of_pot
from season_engine.measures.trace_kernel import AirOfTraces, extremes_in_pot, means_in_pot
from season_engine.pot import Pot

if TYPE_CHECKING:
    from season_engine.traces.season_traces import SeasonTraces

FloatArray = NDArray[np.float64]


class PotAtSites:
    """The middle of a pot at each of some sites; `low_c` are the nights it stands through."""

    def __init__(self, traces: SeasonTraces, pot: Pot, low_c: FloatArray) -> None:
        self.mean_c = np.empty_like(low_c)
        self._extremes = np.full((2, *low_c.shape), np.nan)
        self._filled = np.zeros(low_c.shape[-1], dtype=bool)
        self._sites = [
            _PotAtSite(traces, place, pot, low_c[place], self.mean_c[place]) for place in range(len(low_c))
        ]

    def extreme_c(self, columns: NDArray[np.int64], *, lowest: bool) -> FloatArray:
        """Lowest or highest of each day, shape (sites, traces, days), filled in where it is asked for."""
        asked = np.zeros_like(self._filled)
        asked[columns[(columns >= 0) & (columns < asked.size)]] = True
        missing = np.flatnonzero(asked & ~self._filled)
        if missing.size:
            first, last = int(missing[0]), int(missing[-1]) + 1
            for one, low, high in zip(self._sites, *self._extremes, strict=True):
                one.fill_extremes((first, last), low, high)
            self._filled[first:last] = True
        return np.asarray(self._extremes[0 if lowest else 1])


class _PotAtSite:
    """The same at one site; fills in the daily means, shape (traces, days)."""

    def __init__(
        self, traces: SeasonTraces, place: int, pot: Pot, low_c: FloatArray, mean_c: FloatArray
    ) -> None:
        site, courses, of_day = traces.sites[place], traces.courses, traces.course
        pot, high_c = site.standing(pot), traces.tmax_c[place]
        self._response = day_response(pot)
        sun = sun_of_pot(
            low_c, high_c, latitude_deg=site.latitude, day_of_year=traces.day_of_year[place], pot=pot
        )
        by_course = np.zeros((courses.day_of_year.size, *sun.shares.shape[1:]))
        by_course[of_day] = sun.shares
        self._shares = np.concatenate([courses.shares_of_air[place], by_course], axis=1)
        sunset_c = low_c + (high_c - low_c) * courses.at_sunset[place, of_day]
        self._air = AirOfTraces(low_c, high_c, sunset_c, *sun.parts, of_day)
        self._fill_means(mean_c)

    def _fill_means(self, mean_c: FloatArray) -> FloatArray:
        """Fill in the daily means; what was left before each day is too large to be kept."""
        response = self._response
        before = np.empty((*mean_c.shape, response.kept.size))
        left, today, yesterday = (
            self._shares @ part.T
            for part in (response.left, response.today.mean(axis=0), response.yesterday.mean(axis=0))
        )
        carried = response.carried.mean(axis=0)
        means_in_pot(self._air, left, response.kept, today, yesterday, carried, before, mean_c)
        return before

    def fill_extremes(self, columns: tuple[int, int], low: FloatArray, high: FloatArray) -> None:
        """Fill in the coldest and the warmest hour of some days, both (traces, days)."""
        response = self._response
        today, yesterday = self._shares @ response.today.T, self._shares @ response.yesterday.T
        carried = np.ascontiguousarray(response.carried.T)
        before = self._fill_means(np.empty_like(low))
        extremes_in_pot(self._air, before, today, yesterday, carried, columns, low, high)
