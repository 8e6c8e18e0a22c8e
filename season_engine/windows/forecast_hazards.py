"""A hazard's event on a day of its own, where a forecast holds it."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.root_zone_extremes import RootZone, root_zone_extremes
from season_engine.measures.runs import longest_run
from season_engine.pot import Pot
from season_engine.species.schema import ColdHazard, HeatHazard
from season_engine.traces import TraceSet
from season_engine.traces.trace_set import day_of_year
from season_engine.windows.hazard import ForecastExtreme

FloatArray = NDArray[np.float64]

REMEMBERED_DAYS = 10  # before the forecast, so that the pot has forgotten how it began


def forecast_event(
    rule: ColdHazard | HeatHazard, traces: TraceSet, on: dt.date, pot: Pot
) -> ForecastExtreme | None:
    """The worst of the rule's event among the forecast days after a job done on a day.

    None where the forecast holds no such event. It goes by the forecast itself, undamped: the
    chance says how sure it is.
    """
    if not traces.forecast_days:
        return None
    first = max(traces.column(on) + 1 - traces.observed_days, 0)
    after = slice(first, max(traces.column(on) + 1 + rule.days - traces.observed_days, 0))
    hot = isinstance(rule, HeatHazard)
    values = _forecast_c(rule, traces, pot)[after]
    harmful = values >= rule.level_c if hot else values <= rule.level_c
    if longest_run(harmful) < (rule.run if isinstance(rule, HeatHazard) else 1):
        return None
    worst = int(np.nanargmax(values) if hot else np.nanargmin(values))
    day = traces.date_of(traces.observed_days + first + worst)
    return None if day is None else ForecastExtreme(day, float(values[worst]))


def _forecast_c(rule: ColdHazard | HeatHazard, traces: TraceSet, pot: Pot) -> FloatArray:
    """What the rule looks at on the days forecast; NaN where it isn't known."""
    allowance_c = traces.site.bench_frost_allowance_c
    match rule.name:
        case "root frost":
            return _root_zone(traces, pot, allowance_c).min_c[-traces.forecast_days :]
        case "root heat":
            return _root_zone(traces, pot, 0.0).max_c[-traces.forecast_days :]
        case "heat" | "hot spell":
            return traces.forecast_tmax_c
        case _:
            return traces.forecast_tmin_c - allowance_c


def _root_zone(traces: TraceSet, pot: Pot, colder_c: float) -> RootZone:
    """In the middle of the pot on the last days observed and those forecast."""
    known = traces.observed_days
    before = slice(max(known - REMEMBERED_DAYS, 0), known)
    low, high = traces.tmin_c[0, before], traces.tmax_c[0, before]
    days = traces.days[before.start : known + traces.forecast_days]
    return root_zone_extremes(
        np.concatenate([low, traces.forecast_tmin_c]) - colder_c,
        np.concatenate([high, traces.forecast_tmax_c]),
        latitude_deg=traces.site.latitude,
        day_of_year=day_of_year(days),
        pot=traces.site.standing(pot),
    )
