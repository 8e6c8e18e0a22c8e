"""Daily values of many traces that are worked out no further than somebody asks."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.first_day_kernel import first_day_of_known_sum, first_day_of_known_values

FloatArray = NDArray[np.float64]
Fill = Callable[[int, int, int, FloatArray], None]  # of a case, from a column to another, its (traces, days)

AT_ONCE = 48  # days: a bud takes some weeks to open


class DaysOnAsk:
    """An array [case, trace, day], filled in by runs of days of one case, or whole where used so."""

    def __init__(self, shape: tuple[int, ...], fill: Fill) -> None:
        self.shape = shape
        self._fill = fill
        self._values = np.full(shape, np.nan)
        self._known = [(0, 0)] * shape[0]

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> NDArray[Any]:
        for case in range(self.shape[0]):
            self._ask(case, 0, self.shape[-1])
        return np.array(self._values, dtype, copy=copy)

    def first_day_of_values(self, need: FloatArray, start: FloatArray, falling: bool) -> FloatArray:
        """First day, (cases, traces), at or after a start with as much, or as little, as is needed."""
        sign = -1.0 if falling else 1.0

        def find(case: int, known: int, found: FloatArray) -> None:
            first_day_of_known_values(self._values[case], start[case], need[case], sign, known, found)

        return self._first_days(start, find)

    def first_day_of_sum(self, since: FloatArray, need: FloatArray) -> FloatArray:
        """First day, (cases, traces), on which the running sum from a day on is as much as is needed."""

        def find(case: int, known: int, found: FloatArray) -> None:
            first_day_of_known_sum(self._values[case], since[case], need[case], known, found)

        return self._first_days(since, find)

    def _first_days(self, start: FloatArray, find: Callable[[int, int, FloatArray], None]) -> FloatArray:
        """Ask for more and more days of each case until nothing is left to be found."""
        found, days = np.full(self.shape[:-1], np.nan), self.shape[-1]
        starts = np.where(start < days, np.maximum(start, 0.0), days)  # nor where it isn't known
        firsts = starts.min(axis=-1).astype(np.int64)
        for case, first in enumerate(firsts.tolist()):
            last = first
            while np.isnan(found[case]).any():
                last = min(last + AT_ONCE, days)
                self._ask(case, first, last)
                find(case, last, found[case])
        return found

    def _ask(self, case: int, first: int, last: int) -> None:
        """Fill in what isn't known of a run of days; what is known stays one run."""
        begins, ends = self._known[case]
        if begins == ends:
            begins = ends = first
        for start, stop in ((first, begins), (ends, last)):
            if start < stop:
                self._fill(case, start, stop, self._values[case])
        self._known[case] = min(first, begins), max(last, ends)
