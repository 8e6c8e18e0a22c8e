"""A hazard's event on a day of its own, where a forecast holds it."""

from __future__ import annotations

import datetime as dt

import numpy as np

from season_engine.measures.runs import longest_run
from season_engine.species.schema import ColdHazard, HeatHazard
from season_engine.traces import TraceSet
from season_engine.windows.hazard import ForecastExtreme


def forecast_event(rule: ColdHazard | HeatHazard, traces: TraceSet, on: dt.date) -> ForecastExtreme | None:
    """The worst of the rule's event among the forecast days after a job done on a day.

    None where the forecast holds no such event. It goes by the forecast itself, undamped: the
    chance says how sure it is. Nothing is said of the middle of a pot, which no forecast holds.
    """
    first = max(traces.column(on) + 1 - traces.observed_days, 0)
    after = slice(first, max(traces.column(on) + 1 + rule.days - traces.observed_days, 0))
    hot = isinstance(rule, HeatHazard)
    values = traces.forecast_tmax_c if hot else traces.forecast_tmin_c - traces.site.bench_frost_allowance_c
    values = values[after]
    harmful = values >= rule.level_c if hot else values <= rule.level_c
    if rule.name == "root frost" or longest_run(harmful) < (rule.run if isinstance(rule, HeatHazard) else 1):
        return None
    worst = int(np.nanargmax(values) if hot else np.nanargmin(values))
    day = traces.date_of(traces.observed_days + first + worst)
    return None if day is None else ForecastExtreme(day, float(values[worst]))
