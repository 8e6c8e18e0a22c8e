"""The season's heat and chill so far, beside what past seasons brought."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.heat import growing_degree_days
from season_engine.messages import Degrees, Message
from season_engine.report.contents import SeasonSum
from season_engine.traces import CHILL_DAYS, SeasonView, TraceSet

BASE_C = 5.0
HEAT_FROM = 92  # heat is counted from midwinter, the turn of the calendar or of the half-year
SEASON_DAYS = 365


def season_sums(view: SeasonView) -> tuple[SeasonSum, SeasonSum]:
    """Chill since the season's start and heat since midwinter, of the season the day falls into."""
    now, past = view.season(), view.past
    seen = _observed(now)
    start = now.season_start
    chill = slice(start, start + CHILL_DAYS)
    heat = slice(start + HEAT_FROM, start + SEASON_DAYS)
    heat_unit = Message("growing degree days above {base}", base=Degrees(BASE_C))
    portions = seen.chill_portions[:, chill], past.chill_portions[:, chill]
    return (
        _sum("chill", Message("chill portions"), now, *portions, chill),
        _sum("heat", heat_unit, now, _heat(seen, heat), _heat(past, heat), heat),
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


def _heat(traces: TraceSet, days: slice) -> NDArray[np.float64]:
    return growing_degree_days(traces.tmin_c[:, days], traces.tmax_c[:, days], base_c=BASE_C)


def _sum(
    name: Literal["heat", "chill"],
    unit: str,
    traces: TraceSet,
    this_season: NDArray[np.float64],
    past: NDArray[np.float64],
    days: slice,
) -> SeasonSum:
    so_far = np.cumsum(this_season[0])
    p10, p50, p90 = np.quantile(np.cumsum(past, axis=1), [0.1, 0.5, 0.9], axis=0)
    return SeasonSum(
        name,
        unit,
        tuple(traces.days[days].tolist()),
        *(tuple(np.round(line, 2).tolist()) for line in (so_far, p10, p50, p90)),
    )
