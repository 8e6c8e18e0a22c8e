"""Sites' records on a calendar without leap days, and the traces spliced from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from season_engine.site import Season, Site, day_number
from season_engine.traces.remainder import KnownDays
from season_engine.traces.trace_set import CHILL_DAYS, TraceSet, is_leap_day
from season_engine.weather.series import DailySeries

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


MOST_YEARS = 30  # borrowed from: the span of a climate normal (WMO); older weather is of another climate


class Record:
    """A filled series without its leap days, addressed by day number (365 to the year)."""

    def __init__(self, series: DailySeries) -> None:
        keep = ~is_leap_day(series.days)
        self.tmin_c = series.tmin_c[keep]
        self.tmax_c = series.tmax_c[keep]
        first = series.days[keep][0].item()
        self.first = day_number(first)
        self.last = self.first + int(self.tmin_c.size) - 1

    def spliced(self, site: Site, season: Season) -> TraceSet:
        """Observed so far, then each past year's remainder by calendar date, brought to the present."""
        days = trace_days(season)
        first = day_number(season.first_trace_day)
        return self._of_season(Records([self]).spliced([0], [self.last], [first], days.size), site, season)

    def whole(self, site: Site, season: Season) -> TraceSet:
        """Every season that lies wholly within the record."""
        days = trace_days(season)
        first = day_number(season.first_trace_day)
        return self._of_season(Records([self]).whole([0], [self.last], [first], days.size), site, season)

    @staticmethod
    def _of_season(found: Spliced, site: Site, season: Season) -> TraceSet:
        days = trace_days(season)
        labels = season.year - found.back[0]
        weather = found.tmin_c[0], found.tmax_c[0]
        return TraceSet(site, season, days, labels, found.weights[0], *weather, int(found.observed[0]))


@dataclass(frozen=True)
class Spliced:
    """Traces of many cases, and how many years back each borrows; what pads a case has no weight."""

    back: IntArray  # shape (cases, traces)
    weights: FloatArray  # shape (cases, traces)
    tmin_c: FloatArray  # shape (cases, traces, days)
    tmax_c: FloatArray
    observed: IntArray  # columns, shape (cases,)


class Records:
    """Many sites' records, one after another."""

    def __init__(self, records: Sequence[Record]) -> None:
        sizes = np.array([record.tmin_c.size for record in records])
        self.begins = np.cumsum(sizes) - sizes
        self.first = np.array([record.first for record in records])
        self.tmin_c: FloatArray = np.concatenate([record.tmin_c for record in records])
        self.tmax_c: FloatArray = np.concatenate([record.tmax_c for record in records])

        self.ends = self.begins + sizes

    @cached_property
    def mean_c(self) -> FloatArray:
        """Mean of the day's two extremes, shape (days,)."""
        return (self.tmin_c + self.tmax_c) / 2

    def place(self, of: Sequence[int], seasons: Sequence[Season]) -> IntArray:
        """Where seasons' days stand from the first on, as many as win chill and one, shape (cases, days)."""
        site = np.asarray(of, np.int64)
        begins_on = np.array([day_number(season.start) for season in seasons], np.int64)
        at: IntArray = (self.begins[site] + begins_on - self.first[site])[:, None] + np.arange(CHILL_DAYS + 1)
        return np.asarray(np.clip(at, self.begins[site][:, None], (self.ends[site] - 1)[:, None]))

    def spliced(
        self,
        of: Sequence[int],
        last: Sequence[int],
        first: Sequence[int],
        days: int,
        reach: Sequence[int] | None = None,
    ) -> Spliced:
        """Each case's days so far, then each past year's remainder by calendar date, brought to the present.

        What is borrowed are whole runs of real days, each moved by as much as `KnownDays.warmer_c` says.

        Parameters
        ----------
        of : place of each case's record.
        last : number of the last day known in each case; nothing later is used.
        first : number of the day in the first column.
        days : columns.
        reach : number of the day up to which a year must hold days to be borrowed; None: the last column.
        """
        place, known, begins_on = (np.asarray(part, np.int64) for part in (of, last, first))
        begin, start = self.begins[place], self.first[place]
        numbers = begins_on[:, None] + np.arange(days)
        observed = np.count_nonzero(numbers <= known[:, None], axis=1)
        until = numbers[:, -1] if reach is None else np.asarray(reach, np.int64)
        back, weights = _years_back(numbers, until, known, start, observed)
        seen = np.arange(days) < observed[:, None]
        source = numbers[:, None, :] - 365 * np.where(seen[:, None, :], 0, back[..., None])
        at = begin[:, None, None] + np.maximum(source - start[:, None, None], 0)
        so_far = KnownDays(self.mean_c, begin + known - start + 1, known - start + 1)
        warmer = so_far.warmer_c(back, np.where(seen, 1, numbers - known[:, None]))
        warmer = np.where(seen[:, None, :], 0.0, warmer)
        return Spliced(back, weights, self.tmin_c[at] + warmer, self.tmax_c[at] + warmer, observed)

    def whole(self, of: Sequence[int], last: Sequence[int], first: Sequence[int], days: int) -> Spliced:
        """Every run of so many days, whole years before the first column, within what is known."""
        place, known, begins_on = (np.asarray(part, np.int64) for part in (of, last, first))
        begin, start = self.begins[place], self.first[place]
        least = np.maximum(-(-(begins_on + days - 1 - known) // 365), 0)
        back, weights = _padded(least, (begins_on - start) // 365)
        since = begins_on - start
        at = (begin + since)[:, None, None] + np.arange(days) - 365 * back[..., None]
        at = np.clip(at, 0, self.tmin_c.size - 1)  # of a case that has none
        return Spliced(back, weights, self.tmin_c[at], self.tmax_c[at], np.zeros(place.size, np.int64))


def _years_back(
    numbers: IntArray, until: IntArray, known: IntArray, start: IntArray, observed: IntArray
) -> tuple[IntArray, FloatArray]:
    """How many years back each case may borrow from, the oldest first, and the weights of its traces."""
    days = numbers.shape[1]
    to_come = observed < days
    next_day = numbers[np.arange(observed.size), np.minimum(observed, days - 1)]
    # every borrowed day must lie within the record
    least = np.maximum(-(-(until - known) // 365), 1)
    most = np.minimum((next_day - start) // 365, least + MOST_YEARS - 1)
    return _padded(np.where(to_come, least, 0), np.where(to_come, most, 0))


def _padded(least: IntArray, most: IntArray) -> tuple[IntArray, FloatArray]:
    """Years back from the most to the least of each case, and weights: none for what pads."""
    back = most[:, None] - np.arange(int((most - least).max(initial=-1)) + 1)
    there = back >= least[:, None]
    weights = there / np.maximum(there.sum(axis=1, keepdims=True), 1)
    return np.where(there, back, least[:, None]), weights


def trace_days(season: Season) -> NDArray[np.datetime64]:
    """The days of a season's traces, 29 February left out."""
    days = np.arange(
        np.datetime64(season.first_trace_day, "D"),
        np.datetime64(season.last_trace_day, "D") + np.timedelta64(1, "D"),
    )
    return days[~is_leap_day(days)]
