"""`first_days` by compiled loops that stop where the day is found, of cases side by side."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.compiled import compiled_as_written
from season_engine.measures.first_days import FirstDays

FloatArray = NDArray[np.float64]


def _of_values(values: FloatArray, need: FloatArray, start: FloatArray, *, falling: bool) -> FloatArray:
    return _laid_out(_fill_values, values, None, need, start, -1.0 if falling else 1.0)


def _of_sum(daily: FloatArray, bound: FloatArray, need: FloatArray, start: FloatArray) -> FloatArray:
    return _laid_out(_fill_sums, daily, bound, need, start)


def _of_rest(daily: FloatArray, bound: FloatArray, need: FloatArray, start: FloatArray) -> FloatArray:
    return _laid_out(_fill_rests, daily, bound, need, start)


COMPILED = FirstDays(_of_values, _of_sum, _of_rest)


def _laid_out(
    fill: Callable[..., None],
    daily: FloatArray,
    bound: FloatArray | None,
    need: FloatArray,
    start: FloatArray,
    *others: float,
) -> FloatArray:
    """Fill in the days of all traces; `daily` says of how many, shape (cases, traces, days)."""
    found = np.full(daily.shape[:-1], np.inf)
    bounds = () if bound is None else (np.broadcast_to(bound, found.shape),)
    whole = np.broadcast_to(need, daily.shape)
    fill(np.broadcast_to(daily, daily.shape), *bounds, whole, np.broadcast_to(start, found.shape), *others, found)
    return found


@compiled_as_written
def _first_column(start: float, days: int) -> int:
    """The first whole column at or after a start; that after the last where there is none."""
    if not start < days:  # nor where it isn't known
        return days
    return int(np.ceil(start)) if start > 0.0 else 0


@compiled_as_written
def _fill_values(values: FloatArray, need: FloatArray, start: FloatArray, sign: float, found: FloatArray) -> None:
    cases, traces, days = values.shape
    for case in range(cases):
        for trace in range(traces):
            for day in range(_first_column(start[case, trace], days), days):
                if sign * values[case, trace, day] >= sign * need[case, trace, day]:
                    found[case, trace] = day
                    break


@compiled_as_written
def _fill_sums(
    daily: FloatArray, since: FloatArray, need: FloatArray, start: FloatArray, found: FloatArray
) -> None:
    cases, traces, days = daily.shape
    for case in range(cases):
        for trace in range(traces):
            total, begins = 0.0, _first_column(start[case, trace], days)
            for day in range(min(_first_column(since[case, trace], days), begins), days):
                if day >= since[case, trace]:
                    total += daily[case, trace, day]
                if day >= begins and total >= need[case, trace, day]:
                    found[case, trace] = day
                    break


@compiled_as_written
def _fill_rests(
    daily: FloatArray, until: FloatArray, need: FloatArray, start: FloatArray, found: FloatArray
) -> None:
    cases, traces, days = daily.shape
    for case in range(cases):
        for trace in range(traces):
            if not np.isfinite(until[case, trace]):
                continue
            left = 0.0
            for day in range(days - 1, _first_column(start[case, trace], days) - 1, -1):
                if day < until[case, trace]:
                    left += daily[case, trace, day]
                if left <= need[case, trace, day]:
                    found[case, trace] = day
