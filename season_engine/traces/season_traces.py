"""The traces of a block, whose measures are worked out by compiled loops: the same to nine digits."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache, partial
from typing import ClassVar, NamedTuple

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import KELVIN_OFFSET
from season_engine.measures.first_day_kernel import COMPILED
from season_engine.measures.first_days import Days, FirstDays
from season_engine.measures.heat import sigmoid_forcing
from season_engine.measures.many_sites import rate_table, response_table
from season_engine.measures.trace_kernel import portions_of_traces, sums_of_traces
from season_engine.pot import Pot
from season_engine.traces.day_courses import DayCourses
from season_engine.traces.days_on_ask import DaysOnAsk
from season_engine.traces.pots_of_traces import PotAtSites
from season_engine.traces.trace_set import CHILL_DAYS, CaseTraces

FloatArray = NDArray[np.float64]

STEEPEST_PER_C = 1.0  # of a response that the tables hold to ten digits


class _Curve(NamedTuple):
    """The course of one case's days."""

    tmin_c: FloatArray  # shape (traces, days)
    tmax_c: FloatArray
    sunset_c: FloatArray
    part: NDArray[np.int8]  # shape (courses, 24)
    share: FloatArray
    course: NDArray[np.int64]  # of each day, shape (days,)
    alike: int  # days whose hours are the same in all traces


@dataclass(frozen=True)
class SeasonTraces(CaseTraces):
    """Seasons of several sites on one calendar, a case each, without missing days."""

    first_days: ClassVar[FirstDays] = COMPILED
    told_on: ClassVar[None] = None  # dates are all that is told of many sites

    courses: DayCourses = field(kw_only=True)  # of the sites
    course: NDArray[np.int64] = field(kw_only=True)  # of each day, shape (days,)

    def forcing(self, steepness_per_c: float, middle_c: float) -> Days:
        """Mean sigmoid forcing of each day's hours, 0 to 1, shape (cases, traces, days)."""
        if steepness_per_c > STEEPEST_PER_C:
            return super().forcing(steepness_per_c, middle_c)
        table, curves = _forcing_table(steepness_per_c, middle_c) / 24, self._curves

        def fill(place: int, first: int, last: int, sums: FloatArray) -> None:
            sums_of_traces(*curves[place], table, (first, last), sums)

        return DaysOnAsk(self.tmin_c.shape, fill)

    @cached_property
    def chill_portions(self) -> FloatArray:
        """Chill portions gained each day from the season's start, shape (cases, traces, days)."""
        gained, counted = np.zeros_like(self.tmin_c), (self.season_start, self.season_start + CHILL_DAYS)
        for place, curve in enumerate(self._curves):
            portions_of_traces(*curve, counted, rate_table(), KELVIN_OFFSET, gained[place])
        return gained

    def root_zone_running_mean_c(self, pot: Pot, days: int) -> Days:
        """Mean of the last so many days in the middle of a pot, shape (cases, traces, days)."""
        return self._pot(pot, on_bench=False).running_mean_c(days)

    def root_zone_extreme_c(
        self, pot: Pot, columns: NDArray[np.int64], *, lowest: bool, on_bench: bool = False
    ) -> FloatArray:
        """The same of the coldest or the warmest hour, where the columns asked for are filled in."""
        return self._pot(pot, on_bench=on_bench).extreme_c(columns, lowest=lowest)

    def _pot(self, pot: Pot, *, on_bench: bool) -> PotAtSites:
        colder_c = self.bench_frost_allowance_c * on_bench
        key = "pot", pot, bool(colder_c.any())
        return self.once(key, lambda: PotAtSites(self, pot, colder_c))

    @cached_property
    def _curves(self) -> list[_Curve]:
        courses, of_day = self.courses, self.course
        sunset_c = self.tmin_c + (self.tmax_c - self.tmin_c) * courses.at_sunset[:, None, of_day]
        return [
            _Curve(
                *(self.tmin_c[place], self.tmax_c[place], sunset_c[place]),
                *(courses.part[place], courses.share[place], of_day),
                max(known - 1, 0),
            )
            for place, known in enumerate(self.observed.tolist())
        ]


@lru_cache(maxsize=64)
def _forcing_table(steepness_per_c: float, middle_c: float) -> FloatArray:
    return response_table(partial(sigmoid_forcing, steepness_per_c=steepness_per_c, middle_c=middle_c))
