"""Compiled loops over the traces of one case, whose first days are the same in all of them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.compiled import compiled, compiled_as_written
from season_engine.measures.site_kernel import (
    CELLS,
    DAYS_AT_ONCE,
    cubic,
    day_portions,
    lay_days,
)
from season_engine.measures.sunlight import INLAND, beam_and_sky, clearness_of

FloatArray = NDArray[np.float64]
# The kept machine code holds that of `site_kernel` and `sunlight`: touch this file when those change.


@compiled_as_written
def sums_of_traces(
    tmin: FloatArray,
    tmax: FloatArray,
    sunset: FloatArray,
    part: NDArray[np.int8],
    share: FloatArray,
    course: NDArray[np.int64],
    alike: int,
    table: FloatArray,
    columns: tuple[int, int],
    sums: FloatArray,
) -> None:
    """Fill in some days' sums of an hourly response, (traces, days), looked up in `table` of cubics."""
    hours = np.empty((DAYS_AT_ONCE, 24))
    cells, within = np.empty(hours.shape, np.uint32), np.empty(hours.shape)
    present = np.empty(DAYS_AT_ONCE)
    for trace in range(tmin.shape[0]):
        begins = min(max(columns[0], alike), columns[1]) if trace else columns[0]
        sums[trace, columns[0] : begins] = sums[0, columns[0] : begins]
        for first in range(begins, columns[1], DAYS_AT_ONCE):
            stop = min(first + DAYS_AT_ONCE, columns[1])
            low, high, dusk, there = tmin[trace], tmax[trace], sunset[trace], present[: stop - first]
            lay_days(hours, cells, within, there, first, low, high, dusk, part, share, course)
            for day in range(first, stop):
                sums[trace, day] = _day_sum(cells, within, day - first, table)


@compiled
def _day_sum(cells: NDArray[np.uint32], within: FloatArray, at: int, table: FloatArray) -> float:
    total = 0.0
    for hour in range(24):
        if cells[at, hour] < CELLS:
            total += cubic(table, cells[at, hour], 0, within[at, hour])
    return total


@compiled_as_written
def portions_of_traces(
    tmin: FloatArray,
    tmax: FloatArray,
    sunset: FloatArray,
    part: NDArray[np.int8],
    share: FloatArray,
    course: NDArray[np.int64],
    alike: int,
    counted: tuple[int, int],
    rates: FloatArray,
    kelvin_offset: float,
    portions: FloatArray,
) -> None:
    """Fill in the chill portions of the days counted, (traces, days), from an empty store on the first."""
    hours, shared_store = np.empty((DAYS_AT_ONCE, 24)), 0.0
    cells, within = np.empty(hours.shape, np.uint32), np.empty(hours.shape)
    present = np.empty(DAYS_AT_ONCE)
    for trace in range(tmin.shape[0]):
        begins, store = (max(counted[0], alike), shared_store) if trace else (counted[0], 0.0)
        portions[trace, counted[0] : begins] = portions[0, counted[0] : begins]
        for first in range(begins, counted[1], DAYS_AT_ONCE):
            stop = min(first + DAYS_AT_ONCE, counted[1])
            low, high, dusk, there = tmin[trace], tmax[trace], sunset[trace], present[: stop - first]
            lay_days(hours, cells, within, there, first, low, high, dusk, part, share, course)
            for day in range(first, stop):
                at, empty = day - first, day == counted[0]
                portions[trace, day], store = day_portions(
                    hours, cells, within, at, rates, kelvin_offset, store, empty
                )
                if trace == 0 and day == alike - 1:
                    shared_store = store


class AirOfTraces(NamedTuple):
    """The air of one case's days, and what of a pot's surroundings hangs on the calendar."""

    tmin: FloatArray  # shape (traces, days)
    tmax: FloatArray
    colder: float  # by how much nights are colder at the pot
    course: NDArray[np.int64]  # of each day, shape (days,)
    alike: int  # days that are the same in all traces
    at_sunset: FloatArray  # how far from Tmin to Tmax, by course, shape (courses,)
    outer_mj: FloatArray  # of the sun, see `SunCourse`, likewise
    clear_mj: FloatArray


PARTS = 7  # of a day: the sunset before, Tmin, Tmax, the sunset, the next Tmin, beam, sky

_clearness_of, _beam_and_sky = compiled(clearness_of), compiled(beam_and_sky)


@compiled
def _fill_parts(parts: FloatArray, air: AirOfTraces, trace: int, day: int) -> None:
    last, course = max(day - 1, 0), air.course[day]
    low, high = air.tmin[trace, day] - air.colder, air.tmax[trace, day]
    low_before, high_before = air.tmin[trace, last] - air.colder, air.tmax[trace, last]
    clear = _clearness_of(high - low, INLAND)
    parts[0] = low_before + (high_before - low_before) * air.at_sunset[air.course[last]]
    parts[1], parts[2] = low, high
    parts[3] = low + (high - low) * air.at_sunset[course]
    parts[4] = air.tmin[trace, min(day + 1, air.course.size - 1)] - air.colder
    parts[5], parts[6] = _beam_and_sky(clear, air.outer_mj[course], air.clear_mj[course])


@compiled
def means_in_pot(
    air: AirOfTraces,
    left: FloatArray,
    kept: FloatArray,
    today: FloatArray,
    yesterday: FloatArray,
    carried: FloatArray,
    first: int,
    before: FloatArray,
    mean: FloatArray,
) -> None:
    """Fill in the mean in the middle of a pot, (traces, days), and what was left before, (.., lags).

    Of so many days from the `first` on, as if many like that one had gone before. By course, a part of a day
    leaves `left` in each slow lag, (courses, parts, lags), and makes so much of the mean of that day and the
    next, (courses, parts); the lags make `carried` of it, (lags,).
    """
    parts, lags, shared = np.empty(PARTS), kept.size, 0.0
    leaves = np.empty((mean.shape[1], lags))  # on the days alike as the first trace has filled them in
    for trace in range(mean.shape[0]):
        begins = min(max(air.alike - first, 0), mean.shape[1]) if trace else 0
        passed_on = shared
        mean[trace, :begins], before[trace, :begins] = mean[0, :begins], before[0, :begins]
        for at in range(begins, mean.shape[1]):
            day = first + at
            _fill_parts(parts, air, trace, day)
            total, next_day = _of_parts(parts, today, yesterday, left, leaves, air.course[day], at)
            for lag in range(lags):
                if at < 2:
                    before[trace, at, lag] = leaves[0, lag] / (1.0 - kept[lag])
                else:
                    before[trace, at, lag] = kept[lag] * before[trace, at - 1, lag] + leaves[at - 2, lag]
                total += carried[lag] * before[trace, at, lag]
            mean[trace, at] = total + (passed_on if at else next_day)
            passed_on = next_day
            if trace == 0 and day == air.alike - 1:
                shared = passed_on


@compiled
def _of_parts(
    parts: FloatArray,
    today: FloatArray,
    yesterday: FloatArray,
    left: FloatArray,
    leaves: FloatArray,
    course: int,
    at: int,
) -> tuple[float, float]:
    """What a day makes of its own mean and the next one's; fills in what it leaves in each lag."""
    total, next_day = 0.0, 0.0
    leaves[at] = 0.0
    for part in range(PARTS):
        total += parts[part] * today[course, part]
        next_day += parts[part] * yesterday[course, part]
        for lag in range(leaves.shape[1]):
            leaves[at, lag] += parts[part] * left[course, part, lag]
    return total, next_day


@compiled
def extremes_in_pot(
    air: AirOfTraces,
    before: FloatArray,
    today: FloatArray,
    yesterday: FloatArray,
    carried: FloatArray,
    first: int,
    low: FloatArray,
    high: FloatArray,
) -> None:
    """Fill in the lowest and highest hour of some days, both (traces, days).

    `before` is what `means_in_pot` says of those days, from the `first` on. A part of each makes so much of
    its hours, and so does a part of the day before it, both (days, parts, 24); the lags make `carried` of
    them, (lags, 24).
    """
    hours, parts, last_parts = np.empty(24), np.empty(PARTS), np.empty(PARTS)
    for trace in range(low.shape[0]):
        for place in range(today.shape[0]):
            day = first + place
            if trace and day < air.alike:
                low[trace, day], high[trace, day] = low[0, day], high[0, day]
                continue
            _fill_parts(parts, air, trace, day)
            _fill_parts(last_parts, air, trace, max(day - 1, 0))
            hours[:] = 0.0
            for part in range(PARTS):
                a, b = parts[part], last_parts[part]
                for hour in range(24):
                    hours[hour] += a * today[place, part, hour] + b * yesterday[place, part, hour]
            for lag in range(carried.shape[0]):
                a = before[trace, place, lag]
                for hour in range(24):
                    hours[hour] += a * carried[lag, hour]
            low[trace, day], high[trace, day] = hours.min(), hours.max()
