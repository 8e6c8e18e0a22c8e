"""Traces: one season's weather as it has been so far, joined to what past years brought from here on."""

from season_engine.traces.season_view import SeasonView
from season_engine.traces.trace_set import (
    CHILL_DAYS,
    CaseTraces,
    Traces,
    TraceSet,
    day_of_year,
    is_leap_day,
)

__all__ = ["CHILL_DAYS", "CaseTraces", "SeasonView", "TraceSet", "Traces", "day_of_year", "is_leap_day"]
