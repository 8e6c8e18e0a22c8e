from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.day_length import day_length_h
from season_engine.measures.hourly import hourly_temperatures_c

LEAST_NIGHT, NIGHTFALL = 1e-9, 18  # hours; with 12 hours of light the sun sets at 18


@st.composite
def weather(draw, least_days=1):
    """Lowest and highest temperatures of up to six consecutive days."""
    count = draw(st.integers(least_days, 6))
    tmin = draw(arrays(float, count, elements=st.floats(-30, 30)))
    spread = draw(arrays(float, count, elements=st.floats(0, 25)))
    return tmin, tmin + spread


# xclim, tests/test_helpers.py, test_make_hourly_temperature (commit 01aed1d): equator, 12 hours of light, 0
# to 20 degC, the next night's target again 0. There hour 0 is sunrise; here sunrise is hour 6, and the end of
# the night falls on the next day.
XCLIM = [
    *[0.0, 3.90180644, 7.65366865, 11.11140466, 14.14213562, 16.62939225, 18.47759065, 19.61570561],
    *[20.0, 19.61570561, 18.47759065, 16.62939225, 14.14213562, 10.32039099, 8.0848137, 6.49864636],
    *[5.26831939, 4.26306907, 3.41314202, 2.67690173, 2.02749177, 1.44657476, 0.92107141, 0.44132444],
]


def test_curve_of_another_library():
    hourly = hourly_temperatures_c([0.0, 0.0], [20.0, 20.0], [12.0, 12.0])
    np.testing.assert_allclose(hourly.ravel()[6:30], XCLIM, atol=1e-8)


def test_first_and_last_day_stand_in_for_their_neighbours():
    hourly = hourly_temperatures_c([0.0], [20.0], [12.0])
    np.testing.assert_allclose(hourly.ravel(), [*XCLIM[18:], *XCLIM[:18]], atol=1e-8)


@given(weather(), st.floats(4, 23.99))
def test_highest_comes_two_hours_after_noon(days, length):
    tmin, tmax = days
    hourly = hourly_temperatures_c(tmin, tmax, length)
    np.testing.assert_allclose(hourly[:, 14], tmax, atol=1e-9)


@given(weather(least_days=2))
def test_night_joins_the_day_at_sunset_and_at_sunrise(days):
    tmin, tmax = days
    touching = hourly_temperatures_c(tmin, tmax, 12.0)  # hours 6 and 18 still belong to the day
    apart = hourly_temperatures_c(tmin, tmax, 12.0 - LEAST_NIGHT)  # and here to the night
    np.testing.assert_allclose(apart[:, NIGHTFALL], touching[:, NIGHTFALL], atol=1e-6)
    np.testing.assert_array_equal(touching[:, 6], tmin)
    np.testing.assert_allclose(apart[:, 6], tmin, atol=1e-6)


@given(weather(), st.floats(0, 24))
def test_stays_between_the_extremes_around_it(days, length):
    tmin, tmax = days
    hourly = hourly_temperatures_c(tmin, tmax, length)
    around = np.arange(tmin.size)[:, None] + [-1, 0, 1]
    around = np.clip(around, 0, tmin.size - 1)
    assert (hourly >= tmin[around].min(axis=1)[:, None] - 1e-9).all()
    assert (hourly <= tmax[around].max(axis=1)[:, None] + 1e-9).all()


@pytest.mark.parametrize("latitude", [-60, -38, 0, 36.66, 51.5, 60])
def test_shortening_days_overshoot_the_night_by_next_to_nothing(latitude):
    """The night is measured by the day before, so in autumn the last hour can pass the minimum by a hair."""
    days = np.arange(1, 366)
    hourly = hourly_temperatures_c(np.zeros(365), np.full(365, 10.0), day_length_h(latitude, days))
    assert hourly.min() > -0.02
    assert hourly.max() <= 10.0


@given(weather(), st.floats(0, 24), st.floats(-20, 20))
def test_a_warmer_year_is_the_same_curve_higher_up(days, length, warmer):
    tmin, tmax = days
    warm = hourly_temperatures_c(tmin + warmer, tmax + warmer, length)
    np.testing.assert_allclose(warm, hourly_temperatures_c(tmin, tmax, length) + warmer, atol=1e-9)


@given(weather(least_days=4), st.floats(0.1, 23.9))
def test_a_day_rests_on_itself_and_its_neighbours_only(days, length):
    tmin, tmax = days
    whole = hourly_temperatures_c(tmin, tmax, length)
    np.testing.assert_array_equal(hourly_temperatures_c(tmin[:3], tmax[:3], length)[1], whole[1])
    np.testing.assert_array_equal(hourly_temperatures_c(tmin[1:4], tmax[1:4], length)[1], whole[2])


# What a missing reading takes with it, at 12 hours of light: night before dawn 0-5, day 6-18, dusk 19-23.
@pytest.mark.parametrize(
    ("reading", "lost"),
    [
        ("tmin", {(1, h) for h in range(19, 24)} | {(2, h) for h in range(24)} | {(3, h) for h in range(6)}),
        ("tmax", {(2, h) for h in range(6, 24)} | {(3, h) for h in range(6)}),
    ],
)
def test_a_missing_reading_takes_only_the_hours_that_rest_on_it(reading, lost):
    readings = {"tmin": np.full(5, 2.0), "tmax": np.full(5, 11.0)}
    readings[reading][2] = np.nan
    hourly = hourly_temperatures_c(readings["tmin"], readings["tmax"], 12.0)
    assert set(zip(*map(np.ndarray.tolist, np.nonzero(np.isnan(hourly))), strict=True)) == lost


@pytest.mark.parametrize("length", [0.0, 24.0])
def test_polar_days_and_nights_stay_at_the_middle(length):
    hourly = hourly_temperatures_c([-20.0, -8.0], [-10.0, -2.0], length)
    np.testing.assert_array_equal(hourly, np.repeat([[-15.0], [-5.0]], 24, axis=1))


@pytest.mark.parametrize("latitude", [66, 67, 69, 75, 82, 89, 90, -70])
def test_passes_through_polar_seasons_finite_and_near_the_extremes(latitude):
    days = np.arange(1, 366)
    hourly = hourly_temperatures_c(np.zeros(365), np.full(365, 10.0), day_length_h(latitude, days))
    assert np.isfinite(hourly).all()
    # The day length can fall by hours from one day to the next here, and with it the night's end.
    assert hourly.min() > (-0.2 if abs(latitude) <= 70 else -10)
    assert hourly.max() <= 10.0


def test_traces_together_equal_traces_one_by_one():
    random = np.random.default_rng(2)
    tmin = random.normal(2, 6, (2, 3, 40))
    tmax = tmin + random.gamma(4, 2, tmin.shape)
    length = day_length_h(48, np.arange(60, 100))
    together = hourly_temperatures_c(tmin, tmax, length)
    assert together.shape == (2, 3, 40, 24)
    np.testing.assert_array_equal(together[1, 2], hourly_temperatures_c(tmin[1, 2], tmax[1, 2], length))
