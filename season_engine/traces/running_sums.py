"""What the days of a season add up to: this season so far, beside whole past seasons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import chilling_hours, utah_units
from season_engine.measures.heat import BASE_C, growing_degree_days, growing_degree_hours
from season_engine.site import Season
from season_engine.traces.season_view import SeasonView
from season_engine.traces.trace_set import CHILL_DAYS, TraceSet

FloatArray = NDArray[np.float64]

HEAT_FROM = 92  # heat is counted from midwinter, the turn of the calendar or of the half-year
SEASON_DAYS = 365
CHILL, HEAT = slice(CHILL_DAYS), slice(HEAT_FROM, SEASON_DAYS)  # days of a season


@dataclass(frozen=True)
class RunningSum:
    """Running totals of one measure over the same days of this season and of past ones."""

    days: NDArray[np.datetime64]  # shape (days,), 29 February left out
    so_far: FloatArray  # shape (days with readings,): this season's, up to the last reading
    past: FloatArray  # shape (seasons, days)
    seasons: tuple[str, ...]  # names of the past ones, such as 2019/20

    @property
    def quantiles(self) -> FloatArray:
        """What 10, 50 and 90 in 100 past seasons stay below, shape (3, days)."""
        found: FloatArray = np.quantile(self.past, [0.1, 0.5, 0.9], axis=0)
        return found


def _gdd(traces: TraceSet) -> FloatArray:
    return growing_degree_days(traces.tmin_c, traces.tmax_c, base_c=BASE_C)


# Each measure's daily gain, shape (traces, days), and the days of the season on which it is counted.
SUMMED: dict[str, tuple[Callable[[TraceSet], FloatArray], slice]] = {
    "chilling_hours": (lambda traces: traces.by_day(chilling_hours), CHILL),
    "utah_units": (lambda traces: traces.by_day(utah_units), CHILL),
    "chill_portions": (lambda traces: traces.chill_portions, CHILL),
    "gdd_c": (_gdd, HEAT),
    "gdh_c": (lambda traces: traces.by_day(growing_degree_hours), HEAT),
}


def running_sum(view: SeasonView, measure: str) -> RunningSum:
    """One of `SUMMED` in the season the view's day falls into: chill from its start, heat from midwinter."""
    now, past = view.season(), view.past
    gained, counted = SUMMED[measure]
    start = now.season_start
    days = slice(start + (counted.start or 0), start + counted.stop)
    return RunningSum(
        now.days[days],
        np.cumsum(gained(_observed(now))[0, days]),
        np.cumsum(gained(past)[:, days], axis=1),
        tuple(Season(year, now.season.hemisphere).label for year in past.labels.tolist()),
    )


def _observed(traces: TraceSet) -> TraceSet:
    """The days observed alone: the evening of the last one must not lean on what is forecast or borrowed."""
    days = slice(traces.observed_days)
    return replace(
        traces,
        days=traces.days[days],
        labels=traces.labels[:1],
        weights=np.ones(1),
        tmin_c=traces.tmin_c[:1, days],
        tmax_c=traces.tmax_c[:1, days],
    )
