"""One function for each kind of marker: from a trace set to progress towards the marker."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.heat import growing_degree_days
from season_engine.phenology.progress import NEVER, Progress, lagged, mean_of_last, since, still_to_come
from season_engine.species import schema
from season_engine.traces import TraceSet

FloatArray = NDArray[np.float64]
Dates = Mapping[str, FloatArray]  # columns of the markers already dated, shape (traces,)

ROOT_LAG_DAYS = 2.0  # a medium pot; from memory, and little matters between one and three


def progress_of(marker: schema.Marker, traces: TraceSet, dates: Dates) -> Progress:
    """Progress towards `marker`, given the dates of those it depends on."""
    return _KINDS[marker.kind](marker, traces, dates)


def _season_day(marker: schema.SeasonDay, traces: TraceSet, _dates: Dates) -> Progress:
    days = np.arange(traces.days.size, dtype=np.float64) - traces.season_start
    return Progress(_every_trace(days, traces), np.array(float(marker.day)), _from_start(traces))


def _chill_met(marker: schema.ChillMet, traces: TraceSet, _dates: Dates) -> Progress:
    return Progress(np.cumsum(traces.chill_portions, axis=1), np.array(marker.need), _from_start(traces))


def _heat_after(marker: schema.HeatAfter, traces: TraceSet, dates: Dates) -> Progress:
    start = dates[marker.after]
    return Progress(since(start, _heat(marker, traces)), np.array(marker.need), start)


def _heat_softened_by_chill(marker: schema.HeatSoftenedByChill, traces: TraceSet, dates: Dates) -> Progress:
    start = dates[marker.after]
    need = marker.need * np.exp(-marker.softening * np.cumsum(traces.chill_portions, axis=1))
    return Progress(since(start, _heat(marker, traces)), need, start)


def _heat_left_below(marker: schema.HeatLeftBelow, traces: TraceSet, dates: Dates) -> Progress:
    left = still_to_come(dates[marker.until], _heat(marker, traces))
    return Progress(left, np.array(marker.need), dates[marker.after], falling=True)


def _mean_above(marker: schema.MeanAbove, traces: TraceSet, dates: Dates) -> Progress:
    return Progress(_running_mean(marker, traces), np.array(marker.level_c), dates[marker.after])


def _mean_below(marker: schema.MeanBelow, traces: TraceSet, dates: Dates) -> Progress:
    return Progress(
        _running_mean(marker, traces), np.array(marker.level_c), dates[marker.after], falling=True
    )


def _day_length_above(marker: schema.DayLengthAbove, traces: TraceSet, dates: Dates) -> Progress:
    hours = _every_trace(traces.day_length_h, traces)
    return Progress(hours, np.array(marker.hours), dates[marker.after])


def _day_length_below(marker: schema.DayLengthBelow, traces: TraceSet, dates: Dates) -> Progress:
    hours = _every_trace(traces.day_length_h, traces)
    return Progress(hours, np.array(marker.hours), dates[marker.after], falling=True)


def _days_after(marker: schema.DaysAfter, traces: TraceSet, dates: Dates) -> Progress:
    since_other = np.arange(traces.days.size) - dates[marker.after][:, None]
    return Progress(since_other, np.array(float(marker.days)), np.full(len(traces), -NEVER))


def _hot_day_odds(marker: schema.HotDayOdds, traces: TraceSet, dates: Dates) -> Progress:
    """Share of the traces that have had such a day by each date; the same in every row."""
    counted = np.arange(traces.days.size) >= dates[marker.after][:, None]
    had_one = np.logical_or.accumulate((traces.tmax_c >= marker.level_c) & counted, axis=1)
    share = _every_trace(traces.weights @ had_one, traces)
    return Progress(share, np.array(marker.share), dates[marker.after])


def _heat(
    marker: schema.HeatAfter | schema.HeatSoftenedByChill | schema.HeatLeftBelow, traces: TraceSet
) -> FloatArray:
    return growing_degree_days(traces.tmin_c, traces.tmax_c, base_c=marker.base_c, upper_c=marker.upper_c)


def _running_mean(marker: schema.MeanAbove | schema.MeanBelow, traces: TraceSet) -> FloatArray:
    daily = lagged(traces.mean_c, ROOT_LAG_DAYS) if marker.zone == "root" else traces.mean_c
    return mean_of_last(marker.days, daily)


def _every_trace(days: FloatArray, traces: TraceSet) -> FloatArray:
    return np.broadcast_to(days, (len(traces), traces.days.size))


def _from_start(traces: TraceSet) -> FloatArray:
    return np.full(len(traces), float(traces.season_start))


_KINDS: dict[str, Callable[[Any, TraceSet, Dates], Progress]] = {
    "season_day": _season_day,
    "chill_met": _chill_met,
    "heat_after": _heat_after,
    "heat_softened_by_chill": _heat_softened_by_chill,
    "heat_left_below": _heat_left_below,
    "mean_above": _mean_above,
    "mean_below": _mean_below,
    "day_length_above": _day_length_above,
    "day_length_below": _day_length_below,
    "days_after": _days_after,
    "hot_day_odds": _hot_day_odds,
}
