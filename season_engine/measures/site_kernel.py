"""The compiled loops of `many_sites`. Temperatures are looked up in its tables, cell by cell."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.chill import SHARE_MIDDLE_K, SHARE_SLOPE
from season_engine.measures.compiled import compiled, compiled_as_written
from season_engine.measures.hourly import AFTER_DUSK, BEFORE_DAWN, DAYLIGHT

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

# The kept machine code holds these and those of the imports above: it is made anew when this file changes.
LOWEST_C, HIGHEST_C, CELLS_PER_C = -100.0, 80.0, 32
CELLS = int(HIGHEST_C - LOWEST_C) * CELLS_PER_C
DAYS_AT_ONCE = 32  # hours just written are slow to read back, those of a month ago are not


@compiled
def _cubic(c: FloatArray, at: int, x: float) -> float:
    value: float = c[at] + x * (c[at + 1] + x * (c[at + 2] + x * c[at + 3]))
    return value


class Tables(NamedTuple):
    """What each temperature gives, by cells of temperature."""

    class_below: IntArray  # class of the temperatures up to the edge in the cell, shape (cells,)
    edge_within: FloatArray  # that edge, infinite where there is none, shape (cells,)
    units: FloatArray  # of each class in each class model, shape (classes, 5)
    smooth: FloatArray  # cubics of the two smooth responses side by side, shape (cells, 8)
    rates: FloatArray  # cubics of the Dynamic Model's decay and supply, shape (cells, 8)


@compiled_as_written
def site_sums(
    tmin: FloatArray,
    tmax: FloatArray,
    sunset: FloatArray,
    part: NDArray[np.int8],
    share: FloatArray,
    shape_of_day: IntArray,
    restart: NDArray[np.bool_],
    tables: Tables,
    kelvin_offset: float,
    sums: FloatArray,
    present: FloatArray,
) -> None:
    """Fill in one site's days: sums, shape (days, measures), and how many hours are there, shape (days,).

    The measures are the five class models, the two smooth responses and chill portions.
    """
    hours, counts, store = np.empty((DAYS_AT_ONCE, 24)), np.empty(len(tables.units)), 0.0
    for first in range(0, tmin.size, DAYS_AT_ONCE):
        days = range(first, min(first + DAYS_AT_ONCE, tmin.size))
        for day in days:
            shape = shape_of_day[day]
            _fill_hours(hours[day - first], day, tmin, tmax, sunset, part[shape], share[shape])
        for day in days:
            sums[day, -3], sums[day, -2] = _day_responses(hours[day - first], tables, counts)
            _weigh_classes(counts, tables.units, sums[day])
        for day in days:
            sums[day, -1], present[day], store = _day_portions(
                hours[day - first], tables.rates, kelvin_offset, store, day == 0 or restart[day]
            )


@compiled_as_written
def portions_of_hours(
    hourly: FloatArray,
    restart: NDArray[np.bool_],
    rates: FloatArray,
    kelvin_offset: float,
    portions: FloatArray,
    present: FloatArray,
) -> None:
    """Fill in one site's chill portions of each day from its hours, shape (days, 24)."""
    store = 0.0
    for day in range(len(hourly)):
        begins = day == 0 or restart[day]
        portions[day], present[day], store = _day_portions(hourly[day], rates, kelvin_offset, store, begins)


@compiled_as_written
def _fill_hours(
    hours: FloatArray,
    day: int,
    tmin: FloatArray,
    tmax: FloatArray,
    sunset: FloatArray,
    part: NDArray[np.int8],
    share: FloatArray,
) -> None:
    before, after = max(day - 1, 0), min(day + 1, tmin.size - 1)
    for hour in range(24):
        if part[hour] == BEFORE_DAWN:
            start, end = sunset[before], tmin[day]
        elif part[hour] == DAYLIGHT:
            start, end = tmin[day], tmax[day]
        elif part[hour] == AFTER_DUSK:
            start, end = sunset[day], tmin[after]
        else:
            start = end = (tmin[day] + tmax[day]) / 2.0
        hours[hour] = start + (end - start) * share[hour]


@compiled
def _day_responses(hours: FloatArray, tables: Tables, counts: FloatArray) -> tuple[float, float]:
    one, other = 0.0, 0.0
    counts[:] = 0.0
    for hour in range(24):
        place = (hours[hour] - LOWEST_C) * CELLS_PER_C
        if 0.0 <= place < CELLS:
            cell = np.uint32(place)
            counts[tables.class_below[cell] + (hours[hour] > tables.edge_within[cell])] += 1.0
            one += _cubic(tables.smooth[cell], 0, place - cell)
            other += _cubic(tables.smooth[cell], 4, place - cell)
    return one, other


@compiled
def _weigh_classes(counts: FloatArray, units: FloatArray, sums: FloatArray) -> None:
    one = two = three = four = five = 0.0  # five models: a loop over them takes three times as long
    for place in range(counts.size):
        hours = counts[place]
        if hours > 0.0:
            one += hours * units[place, 0]
            two += hours * units[place, 1]
            three += hours * units[place, 2]
            four += hours * units[place, 3]
            five += hours * units[place, 4]
    sums[0], sums[1], sums[2], sums[3], sums[4] = one, two, three, four, five


@compiled
def _day_portions(
    hours: FloatArray, rates: FloatArray, kelvin_offset: float, store: float, begins: bool
) -> tuple[float, int, float]:
    portions, present = 0.0, 0
    for hour in range(24):
        if begins and hour <= 1:  # the first hour puts nothing in
            store = 0.0
        place = (hours[hour] - LOWEST_C) * CELLS_PER_C
        if 0.0 <= place < CELLS:  # a missing hour leaves the store alone
            present += 1
            cell = np.uint32(place)
            store = store * _cubic(rates[cell], 0, place - cell) + _cubic(rates[cell], 4, place - cell)
            if store >= 1.0:
                kelvin = hours[hour] + kelvin_offset
                over = SHARE_SLOPE * SHARE_MIDDLE_K * (kelvin - SHARE_MIDDLE_K) / kelvin
                fixed = store / (1.0 + np.exp(-over))
                portions += fixed
                store -= fixed
    return portions, present, store
