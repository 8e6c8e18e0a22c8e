"""The compiled pass for many sites against the NumPy functions for one, which are its yardstick."""

from __future__ import annotations

import importlib
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.errors import GrowerError
from season_engine.measures.chill import chill_portions
from season_engine.measures.chill_models import CHILL_MODELS
from season_engine.measures.coverage import daily
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import growing_degree_hours
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.many_sites import (
    EDGES_C,
    IN_CLASSES,
    PORTIONS,
    SMOOTH,
    daily_chill_portions,
    hourly_measures_of_sites,
)
from season_engine.measures.table import restarted
from tests.measures.test_table import latitude, station

PROJECT = Path(__file__).parents[2]
DAY_OF_YEAR = np.arange(200, 1200) % 365 + 1
RESTART = DAY_OF_YEAR == 274
PLACES_DEG = np.array([36.66, -38.1, 0.0, 69.0, 89.9, 51.5])


def some_weather(sites=PLACES_DEG.size, seed=1):
    random = np.random.default_rng(seed)
    season = 8 - 12 * np.cos(2 * np.pi * (DAY_OF_YEAR - 20) / 365)
    tmin = season + random.normal(0, 4, (sites, DAY_OF_YEAR.size))
    return tmin, tmin + random.gamma(4, 2, tmin.shape)


def by_numpy(tmin, tmax, place, restart=RESTART, day_of_year=DAY_OF_YEAR, missing="refuse"):
    hourly = hourly_temperatures_c(tmin, tmax, day_length_h(place, day_of_year))
    found = {key: model.increments(hourly) for key, model in CHILL_MODELS.items() if model.needs == "hours"}
    found[PORTIONS] = restarted(chill_portions, hourly, restart)
    found["growing_degree_hours"] = growing_degree_hours(hourly)
    return {key: daily(values, missing) for key, values in found.items()}


def in_one_pass(tmin, tmax, places=PLACES_DEG, **options):
    given_ = {"latitude_deg": places, "day_of_year": DAY_OF_YEAR, "chill_restart": RESTART}
    return hourly_measures_of_sites(tmin, tmax, **{**given_, **options})


def test_every_hourly_model_is_there():
    hourly_models = {key for key, model in CHILL_MODELS.items() if model.needs == "hours"}
    assert {*IN_CLASSES, *SMOOTH, PORTIONS} == hourly_models | {"growing_degree_hours"}


@pytest.mark.parametrize("missing", ["refuse", "leave_out", "scale_up"])
def test_equals_numpy_site_by_site(missing):
    tmin, tmax = some_weather()
    tmin[1, 300], tmax[1, 400:405], tmin[3, 50] = np.nan, np.nan, np.nan
    found = in_one_pass(tmin, tmax, missing=missing)
    for site, place in enumerate(PLACES_DEG):
        expected = by_numpy(tmin[site], tmax[site], place, missing=missing)
        for key, (value, coverage) in expected.items():
            np.testing.assert_allclose(found[key].coverage[site], coverage, atol=1e-12, err_msg=key)
            # Classes are counted and must agree to the bit; the rest goes through tables.
            tolerance = 0 if key in IN_CLASSES and missing != "scale_up" else 1e-9
            np.testing.assert_allclose(found[key].value[site], value, rtol=0, atol=tolerance, err_msg=key)


@pytest.mark.parametrize("name", ["nagano", "kagoshima"])
def test_equals_numpy_on_fifty_years_of_a_station(name):
    days, tmin, tmax, _ = station(name, 1976, 2025)
    day_of_year = np.array([day.timetuple().tm_yday for day in days])
    restart = np.array([(day.month, day.day) == (10, 1) for day in days])
    found = in_one_pass(
        tmin[None], tmax[None], [latitude(name)], day_of_year=day_of_year, chill_restart=restart
    )
    for key, (value, _) in by_numpy(tmin, tmax, latitude(name), restart, day_of_year).items():
        np.testing.assert_allclose(found[key].value[0], value, rtol=0, atol=1e-9, err_msg=key)


def test_equals_numpy_with_the_other_kelvin_offset():
    hourly = np.random.default_rng(2).normal(5, 5, (2, 40, 24))
    restart = np.arange(40) == 25
    got = daily_chill_portions(hourly, restart, kelvin_offset=273.0).value
    parts = np.split(hourly, [25], axis=1)
    model = CHILL_MODELS[PORTIONS].increments
    expected = [model(part.reshape(2, -1), 273.0).reshape(part.shape).sum(axis=2) for part in parts]
    np.testing.assert_allclose(got, np.concatenate(expected, axis=1), atol=1e-11)


def test_temperatures_at_and_around_every_edge_fall_into_the_same_class():
    """A polar day stays at the middle of its extremes all day, so any temperature can be had."""
    around = np.concatenate([np.nextafter(EDGES_C, -99), EDGES_C, np.nextafter(EDGES_C, 99)])
    corners = np.array([-99.99, -40.0, 0.0, 4.0, 25.0, 36.0, 79.99])
    exact = np.concatenate([around, corners])
    polar_days = np.full(exact.size, 172)
    options = {"day_of_year": polar_days, "chill_restart": np.zeros(exact.size, bool)}
    found = in_one_pass(exact[None], exact[None], [80.0], **options)
    expected = by_numpy(exact, exact, 80.0, options["chill_restart"], polar_days)
    for key in IN_CLASSES:
        np.testing.assert_array_equal(found[key].value[0], expected[key].value, err_msg=key)
    for key in (*SMOOTH, PORTIONS):
        np.testing.assert_allclose(found[key].value[0], expected[key].value, atol=1e-9, err_msg=key)


def test_the_tables_are_as_good_as_the_formulas():
    """Each hour on its own, over all temperatures, not only the usual ones."""
    exact = np.random.default_rng(3).uniform(-99, 79, 20_000)
    polar_days = np.full(exact.size, 172)
    found = in_one_pass(
        exact[None], exact[None], [80.0], day_of_year=polar_days, chill_restart=np.zeros(exact.size, bool)
    )
    for key, response in SMOOTH.items():
        np.testing.assert_allclose(found[key].value[0] / 24, response(exact), atol=1e-11, err_msg=key)


def test_the_slow_warming_of_another_library():
    # xclim, tests/test_indices.py, test_chill_portions (read in a secondary copy): 7 decimals, the last
    # of them rounded up.
    hourly = np.linspace(0, 15, 2880).reshape(1, 120, 24)
    got = daily_chill_portions(hourly, np.zeros(120, bool)).value.sum()
    assert got == pytest.approx(72.2441765, abs=1e-7)


@settings(max_examples=25)
@given(st.permutations(range(PLACES_DEG.size)), st.integers(1, PLACES_DEG.size - 1), st.integers(0, 99))
def test_order_and_batching_change_nothing_bit_for_bit(order, cut, seed):
    tmin, tmax = some_weather(seed=seed)
    tmin[2, 100:110] = np.nan
    whole = in_one_pass(tmin, tmax)
    batches = [list(order[:cut]), list(order[cut:])]
    found = [in_one_pass(tmin[batch], tmax[batch], PLACES_DEG[batch]) for batch in batches]
    for key, (value, coverage) in whole.items():
        for batch, part in zip(batches, found, strict=True):
            np.testing.assert_array_equal(part[key].value, value[batch])
            np.testing.assert_array_equal(part[key].coverage, coverage[batch])


@settings(max_examples=25)
@given(
    arrays(float, (2, 12, 24), elements=st.one_of(st.just(np.nan), st.floats(-15, 30))),
    st.sets(st.integers(0, 11)),
)
def test_portions_from_hours_equal_numpy_with_any_gaps_and_restarts(hourly, starts):
    restart = np.isin(np.arange(12), list(starts))
    expected = daily(restarted(chill_portions, hourly, restart), "leave_out")
    got = daily_chill_portions(hourly, restart, missing="leave_out")
    np.testing.assert_allclose(got.value, expected.value, atol=1e-9)
    np.testing.assert_array_equal(got.coverage, expected.coverage)


def test_each_site_may_have_its_own_restarts():
    tmin, tmax = some_weather(2)
    restart = np.stack([DAY_OF_YEAR == 274, DAY_OF_YEAR == 91])
    found = in_one_pass(tmin, tmax, [45.0, -45.0], chill_restart=restart)[PORTIONS].value
    for site, place in enumerate([45.0, -45.0]):
        expected = by_numpy(tmin[site], tmax[site], place, restart[site])[PORTIONS].value
        np.testing.assert_allclose(found[site], expected, atol=1e-9)


def test_temperatures_from_no_world_of_ours_count_as_missing():
    hourly = np.full((1, 3, 24), 5.0)
    hourly[0, 1, :2] = -100.1, 80.0
    value, coverage = daily_chill_portions(hourly, np.zeros(3, bool))
    assert np.isnan(value).tolist() == [[False, True, False]]
    assert coverage[0, 1] == pytest.approx(22 / 24)


def test_works_where_no_compiled_code_can_be_kept(tmp_path):
    probe = (
        "import numba.core.caching as caching\n"
        "caching.CacheImpl._locator_classes = []\n"
        "import numpy as np\n"
        "from season_engine.measures.many_sites import daily_chill_portions\n"
        "print(daily_chill_portions(np.full((1, 10, 24), 6.0), np.zeros(10, bool)).value.sum())\n"
    )
    done = subprocess.run([sys.executable, "-c", probe], cwd=PROJECT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert float(done.stdout) > 5


def test_where_numba_is_missing_a_grower_is_told_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "numba", None)
    monkeypatch.delitem(sys.modules, "season_engine.measures.compiled")
    with pytest.raises(GrowerError, match=r"numba, which is not installed here.*\.\[fast\]"):
        importlib.import_module("season_engine.measures.compiled")


def test_numba_is_imported_by_nothing_but_this():
    probe = (
        "import sys, pkgutil, importlib, season_engine.measures as measures\n"
        "for module in pkgutil.iter_modules(measures.__path__):\n"
        "    if module.name not in ('many_sites', 'compiled') and not module.name.endswith('_kernel'):\n"
        "        importlib.import_module('season_engine.measures.' + module.name)\n"
        "sys.exit('numba' in sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", probe], cwd=PROJECT, check=True)
