from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.heat import (
    days_at_standard_temperature,
    growing_degree_days,
    growing_degree_hours,
    sigmoid_forcing,
)

temperatures = st.floats(-60, 60)

# McMaster & Wilhelm (1997), Agricultural and Forest Meteorology 87, Table 1, method 1, base 0 degC
# (read in a secondary copy, the test data of the R package degday): Tmax, Tmin, degree days.
MCMASTER_WILHELM = [
    (20, 10, 15),
    (10, 1, 5.5),
    (8, -2, 3),
    (6, 0, 3),
    (10, 5, 7.5),
    (5, -5, 0),
    (-2, -7, 0),
    (-5, -10, 0),
    (10, -2, 4),
    (15, 2, 8.5),
]


@pytest.mark.parametrize(("tmax", "tmin", "expected"), MCMASTER_WILHELM)
def test_degree_days_of_mcmaster_and_wilhelm(tmax, tmin, expected):
    assert growing_degree_days(tmin, tmax, base_c=0) == expected


def test_degree_days_of_an_extension_handbook():
    # Base 50 degF, average method. 65/40 gives 2.5, 60/35 none although the afternoon passed the base: J.
    # Nugent, Michigan State University (no year), Calculating growing degree days. 83/61 gives 22: Michigan
    # State University Extension (no year), Understanding growing degree-days. Both read in stored copies. A
    # mean is a mean in either unit, so the numbers serve as they are.
    got = growing_degree_days([40, 35, 61], [65, 60, 83], base_c=50)
    np.testing.assert_array_equal(got, [2.5, 0, 22])


def test_cap_holds_the_mean_not_the_extremes():
    # By the definition, max(0, min(mean, upper) - base): a mean of 29 counts as 26, one of 24 stays as it is.
    np.testing.assert_array_equal(growing_degree_days([22, 12], [36, 36], base_c=5, upper_c=26), [21, 19])


@given(temperatures, temperatures, st.floats(0, 10), st.floats(-10, 10), st.floats(20, 40))
def test_degree_days_never_fall_as_it_gets_warmer(tmin, tmax, warmer, base, upper):
    cool = growing_degree_days(tmin, tmax, base, upper)
    assert 0 <= cool <= growing_degree_days(tmin + warmer, tmax, base, upper) <= upper - base
    assert growing_degree_days(tmin, tmax, base + warmer, upper) <= cool


@given(temperatures, temperatures, st.floats(-20, 20))
def test_degree_days_move_with_their_base(tmin, tmax, shift):
    moved = growing_degree_days(tmin + shift, tmax + shift, 5 + shift)
    assert moved == pytest.approx(growing_degree_days(tmin, tmax, 5), abs=1e-9)


# Anderson, Richardson & Kesner (1986): nothing at the base, everything at the optimum, nothing from the
# critical temperature on (form read in a secondary copy, the R package chillR). 14.5 is the middle of the
# rising cosine, 30.5 of the falling quarter wave: 21 (1 - 1/sqrt 2).
@pytest.mark.parametrize(
    ("temperature", "hours"),
    [
        (-10, 0),
        (4, 0),
        (14.5, 10.5),
        (25, 21),
        (30.5, 21 * (1 - 1 / math.sqrt(2))),
        (36, 0),
        (45, 0),
    ],
)
def test_degree_hours_at_the_corners_of_the_curve(temperature, hours):
    assert growing_degree_hours(temperature) == pytest.approx(hours, abs=1e-12)


# Pins of our own run.
@pytest.mark.parametrize(
    ("temperature", "hours"), [(7, 1.0398), (10, 3.9534), (20, 18.197), (30, 7.2479), (35, 0.2137)]
)
def test_degree_hours_pins(temperature, hours):
    assert growing_degree_hours(temperature) == pytest.approx(hours, abs=5e-4)


@given(temperatures, st.floats(0, 20))
def test_degree_hours_rise_to_the_optimum_and_fall_beyond(temperature, warmer):
    here, there = growing_degree_hours([temperature, temperature + warmer])
    assert 0 <= here <= 21
    if temperature + warmer <= 25:
        assert here <= there
    if temperature >= 25:
        assert here >= there


def test_degree_hours_have_no_step_at_base_optimum_or_critical():
    for corner in (4.0, 25.0, 36.0):
        below, above = growing_degree_hours([corner - 1e-9, corner + 1e-9])
        assert below == pytest.approx(above, abs=1e-7)


def test_missing_stays_missing():
    assert np.isnan(growing_degree_days([np.nan, 1], [9, np.nan], upper_c=20)).all()
    assert np.isnan(growing_degree_hours([20, np.nan, 30])).tolist() == [False, True, False]


# The same table, method 2: both extremes are brought within the limits first.
@pytest.mark.parametrize(
    ("tmax", "tmin", "expected"),
    [
        (20, 10, 15),
        (10, 1, 5.5),
        (8, -2, 4),
        (6, 0, 3),
        (10, 5, 7.5),
        (5, -5, 2.5),
        (-2, -7, 0),
        (-5, -10, 0),
        (10, -2, 5),
        (15, 2, 8.5),
    ],
)
def test_second_reading_of_mcmaster_and_wilhelm(tmax, tmin, expected):
    assert growing_degree_days(tmin, tmax, base_c=0, limits_on="extremes") == expected


@given(temperatures, temperatures, st.floats(-10, 10), st.floats(20, 40))
def test_the_second_reading_brings_each_extreme_within_the_limits(one, other, base, upper):
    tmin, tmax = sorted([one, other])
    got = growing_degree_days(tmin, tmax, base, upper, limits_on="extremes")
    inside = [min(max(value, base), upper) for value in (tmin, tmax)]
    assert got == pytest.approx(sum(inside) / 2 - base, abs=1e-9)
    if tmax <= upper:
        assert got >= growing_degree_days(tmin, tmax, base, upper) - 1e-9


# Pins of our own run, but for 1 at the standard temperature. Ea 17 kcal/mol and 25 degC are those of the
# abstract cited in the docstring.
@pytest.mark.parametrize(
    ("temperature", "days"), [(0, 0.0724), (5, 0.127), (10, 0.2187), (15, 0.3694), (20, 0.613), (25, 1)]
)
def test_days_at_standard_temperature(temperature, days):
    assert days_at_standard_temperature(temperature) == pytest.approx(days, abs=5e-5 if days < 0.1 else 5e-4)


@given(temperatures, st.floats(0.001, 20))
def test_every_response_rises_with_warmth(temperature, warmer):
    for response in (days_at_standard_temperature, sigmoid_forcing):
        assert response(temperature) <= response(temperature + warmer)


def test_sigmoid_is_even_about_its_middle_and_never_overflows():
    assert sigmoid_forcing(18.4) == 0.5
    assert sigmoid_forcing(18.4 + 7) + sigmoid_forcing(18.4 - 7) == pytest.approx(1)
    np.testing.assert_allclose(sigmoid_forcing([-1e6, 1e6]), [0, 1], atol=1e-12)
    # Its steepest slope, at the middle, is a quarter of the steepness: from the formula.
    slope = (sigmoid_forcing(18.4 + 1e-4, 0.3) - sigmoid_forcing(18.4 - 1e-4, 0.3)) / 2e-4
    assert slope == pytest.approx(0.3 / 4, rel=1e-6)


def test_missing_stays_missing_in_the_responses_too():
    for response in (days_at_standard_temperature, sigmoid_forcing):
        assert np.isnan(response([1.0, np.nan])).tolist() == [False, True]
