"""`first_days` by compiled loops that stop where the day is found, of cases side by side."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.compiled import compiled_as_written
from season_engine.measures.first_days import NEVER, Days, FirstDays

FloatArray = NDArray[np.float64]


def _of_values(values: Days, need: FloatArray, start: FloatArray, falling: bool) -> FloatArray:
    if not isinstance(values, np.ndarray):
        return values.first_day_of_values(np.broadcast_to(need, values.shape), start, falling)
    return _laid_out(_fill_values, values, start, need, -1.0 if falling else 1.0)


def _of_sum(daily: Days, since: FloatArray, need: FloatArray) -> FloatArray:
    if isinstance(daily, np.ndarray):
        return _laid_out(_fill_sums, daily, since, need)
    return daily.first_day_of_sum(since, np.broadcast_to(need, daily.shape))


def _of_rest(daily: Days, until: FloatArray, need: FloatArray, start: FloatArray) -> FloatArray:
    return _laid_out(_fill_rests, np.asarray(daily), start, need, until)


COMPILED = FirstDays(_of_values, _of_sum, _of_rest)


def _laid_out(
    fill: Callable[..., None],
    daily: FloatArray,
    start: FloatArray,
    need: FloatArray,
    *others: FloatArray | float,
) -> FloatArray:
    """Fill in the days of all traces; `daily` says of how many, shape (cases, traces, days)."""
    found = np.full(daily.shape[:-1], NEVER)
    starts, needs = np.broadcast_to(start, found.shape), np.broadcast_to(need, daily.shape)
    fill(daily, starts, needs, *others, found)
    return found


@compiled_as_written
def _first_column(start: float, days: int) -> int:
    """The first whole column at or after a start; that after the last where there is none."""
    if not start < days:  # nor where it isn't known
        return days
    return int(np.ceil(start)) if start > 0.0 else 0


@compiled_as_written
def _fill_values(
    values: FloatArray, start: FloatArray, need: FloatArray, sign: float, found: FloatArray
) -> None:
    for case in range(len(values)):
        first_day_of_known_values(values[case], start[case], need[case], sign, values.shape[-1], found[case])


@compiled_as_written
def first_day_of_known_values(
    values: FloatArray, start: FloatArray, need: FloatArray, sign: float, known: int, found: FloatArray
) -> None:
    """Fill in the days of one case's traces, of which so many columns are known; NaN: perhaps later.

    `sign` is 1, or -1 where values have to fall.
    """
    traces, days = values.shape
    for trace in range(traces):
        found[trace] = np.inf if known == days else np.nan
        for day in range(_first_column(start[trace], days), known):
            if sign * values[trace, day] >= sign * need[trace, day]:
                found[trace] = day
                break


@compiled_as_written
def _fill_sums(daily: FloatArray, since: FloatArray, need: FloatArray, found: FloatArray) -> None:
    for case in range(len(daily)):
        first_day_of_known_sum(daily[case], since[case], need[case], daily.shape[-1], found[case])


@compiled_as_written
def first_day_of_known_sum(
    daily: FloatArray, since: FloatArray, need: FloatArray, known: int, found: FloatArray
) -> None:
    """Fill in the days of one case's traces, of which so many columns are known; NaN: perhaps later."""
    traces, days = daily.shape
    for trace in range(traces):
        total, found[trace] = 0.0, np.inf if known == days else np.nan
        for day in range(_first_column(since[trace], days), known):
            total += daily[trace, day]
            if total >= need[trace, day]:
                found[trace] = day
                break


@compiled_as_written
def _fill_rests(
    daily: FloatArray, start: FloatArray, need: FloatArray, until: FloatArray, found: FloatArray
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
