"""Grids and scattered sites, and the date line."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.maps.places import grid_of, unrolled


def nodes(first, last, step):
    return np.arange(first, last + step / 2, step)


def laid_out(latitudes, longitudes):
    across, up = np.meshgrid(longitudes, latitudes)
    return up.ravel(), across.ravel()


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ([178, 179, -180, -179], [178, 179, 180, 181]),
        ([-179, 179], [181, 179]),
        ([359, 0, 1], [-1, 0, 1]),  # counted to 360
        ([10, 12, 15], [10, 12, 15]),
        (range(-180, 180, 10), range(-180, 180, 10)),  # all around: cut at the date line, as maps are
        ([-60, 150, 170], [300, 150, 170]),  # an ocean's two sides, cut in the widest gap
        ([], []),
    ],
)
def test_longitudes_are_unrolled_where_nobody_lives(given, expected):
    found = unrolled(np.array(given, float))
    assert found == pytest.approx(np.array(expected, float))


@given(
    st.lists(st.integers(-1800, 1799), min_size=1, max_size=30, unique=True),
    st.integers(0, 35),
    st.booleans(),
)
def test_unrolling_keeps_places_and_is_never_wider_than_the_earth(tenths, turn, to_360):
    longitude = (np.array(tenths) / 10 + 10 * turn + 180) % 360 - (0 if to_360 else 180)
    found = unrolled(longitude)
    off = (found - longitude + 180) % 360 - 180
    assert np.abs(off).max() < 1e-9
    assert np.ptp(found) < 360


@pytest.mark.parametrize("kind", [np.float64, np.float32])
@pytest.mark.parametrize("step", [0.05, 0.1, 0.25, 1.0, 2.5])
def test_cells_of_a_grid_are_found_with_rows_and_places_missing(kind, step):
    up, across = laid_out(nodes(-20, -20 + 30 * step, step), nodes(140, 140 + 40 * step, step))
    rows = np.rint((up + 20) / step)
    there = (np.hypot(up + 20 - 15 * step, across - 140 - 20 * step) < 14 * step) & ~np.isin(rows, (9, 10))
    latitude, longitude = (values[there].astype(kind).astype(float) for values in (up, across))
    grid = grid_of(latitude, longitude)
    assert grid is not None
    assert grid.step == pytest.approx((step, step), rel=1e-3)
    assert grid.latitudes[grid.row] == pytest.approx(latitude, abs=0.02 * step)
    assert grid.longitudes[grid.column] == pytest.approx(longitude, abs=0.02 * step)
    cells = grid.laid(latitude, np.nan)
    assert np.isnan(cells[rows[there].min() <= 9 and 9 - int(rows[there].min())]).all(), "a row without sites"
    assert np.count_nonzero(~np.isnan(cells)) == latitude.size


def test_steps_may_be_rounded_as_twelfths_are():
    twelfths = np.round(nodes(0, 2, 1 / 12), 2)
    grid = grid_of(*laid_out(twelfths, twelfths + 5))
    assert grid is not None and grid.latitudes.size == 25


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("decimals", [4, 2, 1])
def test_scattered_sites_are_no_grid(seed, decimals):
    """Nor are a club's yards whose places are rounded to a tenth of a degree."""
    places = np.random.default_rng(seed).uniform((-43, 145), (-37, 151), (80, 2)).round(decimals)
    assert grid_of(*np.unique(places, axis=0).T) is None


@pytest.mark.parametrize(
    "places",
    [
        [(0, 0)],
        [(0, 0), (0, 1), (0, 2)],  # one row
        [(0, 0), (0, 1), (1, 0), (1, 1), (1, 1)],  # two in one cell
        [(0, 0), (0, 1), (1, 0), (1, 1.4)],
        [(0, 0), (0, 1e-4), (89, 179), (45, 90)],  # a grid of these would be endless
    ],
)
def test_what_else_is_no_grid(places):
    assert grid_of(*np.array(places, float).T) is None


def test_a_grid_across_the_date_line_is_one():
    latitude, longitude = laid_out(nodes(-20, -10, 1), [178, 179, -180, -179])
    grid = grid_of(latitude, unrolled(longitude.astype(float)))
    assert grid is not None
    assert grid.longitudes.tolist() == [178, 179, 180, 181]
    assert grid.edges[1].tolist() == [177.5, 178.5, 179.5, 180.5, 181.5]
