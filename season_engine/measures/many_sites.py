"""All hourly measures of many sites from their daily extremes in one pass, without keeping the hours.

The same numbers as the NumPy functions beside this module, which serve one site and are the yardstick in the
tests; here each hour of each site goes through compiled code. Sites are worked on one by one, so that neither
their order nor how they are batched changes a bit. Hours outside -100 to 80 degC count as missing.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.measures import chill
from season_engine.measures.coverage import FloatArray, Measured, Missing, weighed
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import growing_degree_hours
from season_engine.measures.hourly import DayShapes, curve_shape, day_shapes, share_at_sunset
from season_engine.measures.site_kernel import (
    CELLS,
    CELLS_PER_C,
    LOWEST_C,
    Tables,
    portions_of_hours,
    site_sums,
)

IN_CLASSES = {
    "weinberger_1950": (chill.CHILLING_HOURS_EDGES_C, chill.CHILLING_HOURS_UNITS),
    "richardson_1974": (chill.UTAH_EDGES_C, chill.UTAH_UNITS),
    "gilreath_buchanan_1981": (chill.LOW_CHILL_EDGES_C, chill.LOW_CHILL_UNITS),
    "shaltout_unrath_1983": (chill.NORTH_CAROLINA_EDGES_C, chill.NORTH_CAROLINA_UNITS),
    "linsley_noakes_1994": (chill.UTAH_EDGES_C, chill.POSITIVE_UTAH_UNITS),
}
GROWING_DEGREE_HOURS = "growing_degree_hours"
SMOOTH = {"linvill_1990": chill.smooth_utah_units, GROWING_DEGREE_HOURS: growing_degree_hours}
PORTIONS = "fishman_1987"
KEYS = (*IN_CLASSES, *SMOOTH, PORTIONS)

EDGES_C = np.unique(np.concatenate([edges for edges, _ in IN_CLASSES.values()]))


def hourly_measures_of_sites(
    tmin_c: ArrayLike,
    tmax_c: ArrayLike,
    *,
    latitude_deg: ArrayLike,
    day_of_year: ArrayLike,
    chill_restart: ArrayLike,
    kelvin_offset: float = 273.15,
    missing: Missing = "refuse",
) -> dict[str, Measured]:
    """Daily sums of every hourly chill model, by its key, and of growing degree hours.

    Parameters
    ----------
    tmin_c, tmax_c : degC, shape (sites, days), consecutive days; NaN where missing.
    latitude_deg : degrees, north positive, shape (sites,).
    day_of_year : 1 to 366, shape (days,).
    chill_restart : bool, shape (days,) or (sites, days): the days on which chill portions start from an empty
        store. The first day always does.
    kelvin_offset : of the chill portions; see there.
    missing : what a day's sum does about missing hours.

    Returns
    -------
    Value and coverage of each measure, shape (sites, days).
    """
    tmin, tmax = np.broadcast_arrays(np.asarray(tmin_c, np.float64), np.asarray(tmax_c, np.float64))
    restart = np.broadcast_to(np.asarray(chill_restart, bool), tmin.shape)
    days = day_shapes([np.asarray(day_of_year, np.int64)])
    sums = {key: np.empty(tmin.shape) for key in KEYS}
    coverage = np.empty(tmin.shape)
    for site, latitude in enumerate(np.broadcast_to(np.asarray(latitude_deg, np.float64), tmin.shape[:1])):
        found, present = _one_site(
            tmin[site], tmax[site], restart[site], float(latitude), days, kelvin_offset
        )
        coverage[site] = present / 24.0
        for key, values in zip(KEYS, found, strict=True):
            sums[key][site] = weighed(values, coverage[site], missing).value
    return {key: Measured(values, coverage) for key, values in sums.items()}


def daily_chill_portions(
    hourly_c: ArrayLike,
    chill_restart: ArrayLike,
    kelvin_offset: float = 273.15,
    missing: Missing = "refuse",
) -> Measured:
    """Chill portions of each day from hours of many sites.

    Parameters
    ----------
    hourly_c : degC, shape (sites, days, 24).
    chill_restart : bool, shape (days,) or (sites, days), as above.

    Returns
    -------
    Value and coverage, shape (sites, days).
    """
    hourly = np.asarray(hourly_c, np.float64)
    restart = np.broadcast_to(np.asarray(chill_restart, bool), hourly.shape[:-1])
    found = Measured(np.empty(hourly.shape[:-1]), np.empty(hourly.shape[:-1]))
    rates = _tables(kelvin_offset).rates
    room = np.empty(hourly.shape[1:], np.uint32), np.empty(hourly.shape[1:])
    portions, present = np.empty(hourly.shape[1]), np.empty(hourly.shape[1])
    for site, hours in enumerate(hourly):
        portions_of_hours(hours, restart[site], rates, kelvin_offset, *room, portions, present)
        found.value[site], found.coverage[site] = weighed(portions, present / 24.0, missing)
    return found


def _one_site(
    tmin: FloatArray,
    tmax: FloatArray,
    restart: NDArray[np.bool_],
    latitude: float,
    days: DayShapes,
    kelvin_offset: float,
) -> tuple[FloatArray, FloatArray]:
    """Sums over the hours that are there, shape (measures, days), and how many they are, shape (days,)."""
    length, (of_day,) = day_length_h(latitude, days.day_of_year), days.of_days
    part, share = curve_shape(length, day_length_h(latitude, days.day_before))
    sunset = tmin + (tmax - tmin) * share_at_sunset(length)[of_day]
    sums, present = np.empty((tmin.size, len(KEYS))), np.empty(tmin.size)
    tables = _tables(kelvin_offset)
    site_sums(tmin, tmax, sunset, part, share, of_day, restart, tables, kelvin_offset, sums, present)
    return sums.T, present


# Tables over temperature, in cells of a 32nd of a degree. A class edge falls into a cell at most once. A
# smooth response is a cubic through four points of each cell, which misses the formula by less than 1e-11 of
# its height; the corners of those used here lie on cell edges.

_POINTS = np.arange(4) / 3.0
_TO_CUBIC = np.linalg.inv(np.vander(_POINTS, increasing=True))
_CELL_POINTS_C = LOWEST_C + (np.arange(CELLS)[:, None] + _POINTS) / CELLS_PER_C


@lru_cache(maxsize=2)
def _tables(kelvin_offset: float) -> Tables:
    edge = np.full(CELLS, np.inf)
    edge[((EDGES_C - LOWEST_C) * CELLS_PER_C).astype(np.int64)] = EDGES_C
    has_edge = np.isfinite(edge)
    inside = np.concatenate([EDGES_C, [EDGES_C[-1] + 1.0]])  # one temperature of each class
    units = [units[np.searchsorted(edges, inside)] for edges, units in IN_CLASSES.values()]
    supply, decay, _ = chill.dynamic_model_rates(_CELL_POINTS_C, kelvin_offset)
    return Tables(
        class_below=np.cumsum(has_edge) - has_edge,
        edge_within=edge,
        units=np.stack(units, axis=1),
        smooth=_cubics([response(_CELL_POINTS_C) for response in SMOOTH.values()]),
        rates=_cubics([decay, supply]),
    )


def rate_table(kelvin_offset: float = chill.KELVIN_OFFSET) -> FloatArray:
    """Cubics of the Dynamic Model's decay and supply."""
    return _tables(kelvin_offset).rates


def response_table(response: Callable[[FloatArray], FloatArray]) -> FloatArray:
    """Cubics of an hourly response that is smooth over a thirtieth of a degree."""
    return _cubics([response(_CELL_POINTS_C)])


def _cubics(functions: list[FloatArray]) -> FloatArray:
    """Coefficients within each cell, four a function, from values at its four points."""
    return np.concatenate([values @ _TO_CUBIC.T for values in functions], axis=1)
