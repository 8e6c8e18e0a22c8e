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
def cubic(table: FloatArray, cell: int, c: int, x: float) -> float:
    """The cubic of a cell whose four coefficients begin in column `c`, so far within it."""
    value: float = table[cell, c] + x * (
        table[cell, c + 1] + x * (table[cell, c + 2] + x * table[cell, c + 3])
    )
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
    hours, store = np.empty((DAYS_AT_ONCE, 24)), 0.0
    cells, within = np.empty(hours.shape, np.uint32), np.empty(hours.shape)
    for first in range(0, tmin.size, DAYS_AT_ONCE):
        days = range(first, min(first + DAYS_AT_ONCE, tmin.size))
        there = present[first : first + DAYS_AT_ONCE]
        lay_days(hours, cells, within, there, first, tmin, tmax, sunset, part, share, shape_of_day)
        for day in days:
            _add_responses(hours, cells, within, day - first, tables, sums, day)
        for day in days:
            at, begins = day - first, day == 0 or restart[day]
            sums[day, 7], store = day_portions(
                hours, cells, within, at, tables.rates, kelvin_offset, store, begins
            )


@compiled_as_written
def portions_of_hours(
    hourly: FloatArray,
    restart: NDArray[np.bool_],
    rates: FloatArray,
    kelvin_offset: float,
    cells: NDArray[np.uint32],
    within: FloatArray,
    portions: FloatArray,
    present: FloatArray,
) -> None:
    """Fill in one site's chill portions of each day from its hours, shape (days, 24), and room to work in."""
    _place_hours(hourly, cells, within, present)
    store = 0.0
    for day in range(len(hourly)):
        portions[day], store = day_portions(
            hourly, cells, within, day, rates, kelvin_offset, store, day == 0 or restart[day]
        )


@compiled_as_written
def lay_days(
    hours: FloatArray,
    cells: NDArray[np.uint32],
    within: FloatArray,
    present: FloatArray,
    first: int,
    tmin: FloatArray,
    tmax: FloatArray,
    sunset: FloatArray,
    part: NDArray[np.int8],
    share: FloatArray,
    shape_of_day: IntArray,
) -> None:
    """Put the hours of as many days as `present` holds, from `first` on, into rows, and look them up."""
    for at in range(present.size):
        day = first + at
        _fill_hours(hours, at, day, tmin, tmax, sunset, part, share, shape_of_day[day])
    _place_hours(hours, cells, within, present)


@compiled_as_written
def _fill_hours(
    hours: FloatArray,
    at: int,
    day: int,
    tmin: FloatArray,
    tmax: FloatArray,
    sunset: FloatArray,
    part: NDArray[np.int8],
    share: FloatArray,
    shape: int,
) -> None:
    """Put a day's hours into the row `at`; `shape` is the row of its curve in `part` and `share`."""
    before, after = max(day - 1, 0), min(day + 1, tmin.size - 1)
    for hour in range(24):
        if part[shape, hour] == BEFORE_DAWN:
            start, end = sunset[before], tmin[day]
        elif part[shape, hour] == DAYLIGHT:
            start, end = tmin[day], tmax[day]
        elif part[shape, hour] == AFTER_DUSK:
            start, end = sunset[day], tmin[after]
        else:
            start = end = (tmin[day] + tmax[day]) / 2.0
        hours[at, hour] = start + (end - start) * share[shape, hour]


@compiled
def _place_hours(
    hours: FloatArray, cells: NDArray[np.uint32], within: FloatArray, present: FloatArray
) -> None:
    """Find the cell of each hour's temperature, and how far it lies within; `CELLS` for a missing hour."""
    for day in range(present.size):
        there = 0
        for hour in range(24):
            place = (hours[day, hour] - LOWEST_C) * CELLS_PER_C
            known = 0.0 <= place < CELLS
            cells[day, hour] = np.uint32(place) if known else np.uint32(CELLS)
            within[day, hour] = place - cells[day, hour] if known else 0.0
            there += known
        present[day] = there


@compiled
def _add_responses(
    hours: FloatArray,
    cells: NDArray[np.uint32],
    within: FloatArray,
    at: int,
    tables: Tables,
    sums: FloatArray,
    day: int,
) -> None:
    a = b = c = d = e = one = other = 0.0  # seven sums kept at hand: in an array they take twice as long
    units = tables.units
    for hour in range(24):
        cell, x = cells[at, hour], within[at, hour]
        if cell < CELLS:
            place = tables.class_below[cell] + (hours[at, hour] > tables.edge_within[cell])
            a += units[place, 0]
            b += units[place, 1]
            c += units[place, 2]
            d += units[place, 3]
            e += units[place, 4]
            one += cubic(tables.smooth, cell, 0, x)
            other += cubic(tables.smooth, cell, 4, x)
    for measure, total in enumerate((a, b, c, d, e, one, other)):
        sums[day, measure] = total


@compiled
def day_portions(
    hours: FloatArray,
    cells: NDArray[np.uint32],
    within: FloatArray,
    at: int,
    rates: FloatArray,
    kelvin_offset: float,
    store: float,
    begins: bool,
) -> tuple[float, float]:
    """Chill portions of the day in a row of hours, and the store it leaves; `begins`: with an empty one."""
    portions = 0.0
    if begins:  # from an empty store, into which the first hour puts nothing
        store, cells[at, 0] = 0.0, CELLS
    for hour in range(24):
        cell, x = cells[at, hour], within[at, hour]
        if cell < CELLS:  # a missing hour leaves the store alone
            store = store * cubic(rates, cell, 0, x) + cubic(rates, cell, 4, x)
            if store >= 1.0:
                kelvin = hours[at, hour] + kelvin_offset
                over = SHARE_SLOPE * SHARE_MIDDLE_K * (kelvin - SHARE_MIDDLE_K) / kelvin
                fixed = store / (1.0 + np.exp(-over))
                portions += fixed
                store -= fixed
    return portions, store
