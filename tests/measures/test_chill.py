from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.chill import (
    UTAH_EDGES_C,
    chill_portions,
    chilling_hours,
    continued_chill_portions,
    utah_units,
)

temperatures = st.floats(-40, 45)
hours = arrays(float, st.integers(1, 200), elements=st.floats(-15, 30))


def below(value: float) -> float:
    return math.nextafter(value, -math.inf)


def above(value: float) -> float:
    return math.nextafter(value, math.inf)


# Both ends of 0 to 7.2 degC count (the R package chillR).
@pytest.mark.parametrize(
    ("temperature", "expected"),
    [
        (below(0.0), 0),
        (0.0, 1),
        (above(0.0), 1),
        (below(7.2), 1),
        (7.2, 1),
        (above(7.2), 0),
        (-10, 0),
        (20, 0),
    ],
)
def test_chilling_hours_at_both_edges(temperature, expected):
    assert chilling_hours(temperature) == expected


# Richardson, Seeley & Walker (1974) in degC, each class holding its upper edge (the R package chillR).
@pytest.mark.parametrize(
    ("edge", "at_edge", "beyond"),
    [(1.4, 0, 0.5), (2.4, 0.5, 1), (9.1, 1, 0.5), (12.4, 0.5, 0), (15.9, 0, -0.5), (18.0, -0.5, -1)],
)
def test_utah_units_on_both_sides_of_each_edge(edge, at_edge, beyond):
    assert utah_units(below(edge)) == utah_units(edge) == at_edge
    assert utah_units(above(edge)) == beyond


def test_utah_units_in_whole_degrees_fahrenheit():
    # The model was made in degF: up to 34 none, 35-36 a half, 37-48 one, 49-54 a half, 55-60 none, 61-65 less
    # a half, from 66 on less one (read in secondary copies). 65 degF is 18.3 degC, past the rounded edge of
    # 18.0, and left out here.
    fahrenheit = np.r_[20:65, 66:80]
    classes = [(34, 0.0), (36, 0.5), (48, 1.0), (54, 0.5), (60, 0.0), (65, -0.5), (200, -1.0)]
    expected = [next(units for edge, units in classes if f <= edge) for f in fahrenheit]
    np.testing.assert_array_equal(utah_units((fahrenheit - 32) / 1.8), expected)


def test_utah_sum_of_another_library():
    # xclim, tests/test_indices.py, test_chill_units. Its last edge is 17.9, not 18.0: no hour lies between.
    hourly = np.repeat([1.1, 2.0, 5.6, 16.0, 20.0], [10, 15, 20, 10, 5])
    assert utah_units(hourly).sum() == 0.5 * 15 + 20 - 0.5 * 10 - 5 == 17.5


@given(temperatures)
def test_utah_units_stay_between_minus_one_and_one(temperature):
    assert -1 <= utah_units(temperature) <= 1


@given(st.floats(4, 40), st.floats(0, 20))
def test_utah_units_never_rise_with_warmth_above_the_optimum(temperature, warmer):
    assert utah_units(temperature + warmer) <= utah_units(temperature)


def test_every_utah_class_is_reached_once():
    middles = np.r_[-5, (UTAH_EDGES_C[1:] + UTAH_EDGES_C[:-1]) / 2, 25]
    assert utah_units(middles).tolist() == [0, 0.5, 1, 0.5, 0, -0.5, -1]


@pytest.mark.parametrize("measure", [chilling_hours, utah_units, chill_portions])
def test_missing_hours_stay_missing_and_are_the_only_ones(measure):
    hourly = np.full(100, 5.0)
    hourly[[0, 40, 41, 99]] = np.nan
    assert np.flatnonzero(np.isnan(measure(hourly))).tolist() == [0, 40, 41, 99]


@pytest.mark.parametrize(("offset", "portions"), [(273.15, 72.2441765), (273.0, 72.560076)])
def test_chill_portions_of_a_slow_warming(offset, portions):
    # A regression pin with no paper behind it. xclim pins the first number to 7 decimals
    # (tests/test_indices.py, test_chill_portions, read in a secondary copy); the second is our own run.
    assert chill_portions(np.linspace(0, 15, 2880), offset).sum() == pytest.approx(portions, abs=1e-6)


# Pins of our own run: 100 days at one temperature, offset 273. The shape is that of the published response:
# best around 6 to 8 degC, little at freezing, none from 13 degC (Fishman et al. 1987, from memory).
@pytest.mark.parametrize(
    ("temperature", "portions"),
    [
        (0, 12.478),
        (2, 64.395),
        (4, 72.838),
        (6, 83.063),
        (7, 84.611),
        (8, 83.37),
        (10, 78.05),
        (12, 61.004),
        (13, 0),
    ],
)
def test_chill_portions_at_one_temperature(temperature, portions):
    assert chill_portions(np.full(2400, float(temperature)), 273).sum() == pytest.approx(portions, abs=5e-3)


def test_a_portion_takes_28_hours_at_the_best_temperature():
    # "28 hours at 6 degC" is the figure usually quoted for one portion (from memory).
    earned = np.flatnonzero(chill_portions(np.full(2400, 6.0), 273))
    assert set(np.diff(earned)) == {28}
    assert 28 <= earned[0] + 1 <= 30


def test_heat_by_day_destroys_the_chill_of_the_night():
    # What the model was made to show: hot afternoons undo a cold night, mild ones don't (Fishman et al. 1987,
    # from memory). The second sum is a pin of our own run.
    hot = np.tile(np.repeat([24.0, 4.0], [8, 16]), 60)
    mild = np.tile(np.repeat([15.0, 6.0], [8, 16]), 60)
    assert chill_portions(hot, 273).sum() == 0
    assert chill_portions(mild, 273).sum() == pytest.approx(43.75, abs=0.005)


@given(hours)
def test_chill_portions_are_never_negative_and_start_from_nothing(hourly):
    portions = chill_portions(hourly)
    assert portions[0] == 0
    assert (portions >= 0).all()


@given(hours, hours)
def test_later_hours_change_nothing(hourly, later):
    together = chill_portions(np.concatenate([hourly, later]))
    np.testing.assert_array_equal(together[: hourly.size], chill_portions(hourly))


@given(hours)
def test_portions_earned_are_not_undone_by_a_hot_spell(hourly):
    hot_end = np.concatenate([hourly, np.full(48, 30.0)])
    assert chill_portions(hot_end).sum() >= chill_portions(hourly).sum() - 1e-9


@given(hours)
def test_a_hot_spell_empties_the_store(hourly):
    """After two days of 35 degC, chill counts as if nothing had come before."""
    hot = np.full(48, 35.0)
    cold = np.full(200, 5.0)
    after = chill_portions(np.concatenate([hourly, hot, cold]))[hourly.size :]
    np.testing.assert_allclose(after, chill_portions(np.concatenate([hot, cold])), atol=1e-6)


def test_the_store_is_held_through_missing_hours():
    hourly = np.random.default_rng(3).normal(5, 3, 300)
    holed = np.insert(hourly, 150, np.full(30, np.nan))
    portions = chill_portions(holed)
    np.testing.assert_allclose(portions[~np.isnan(holed)], chill_portions(hourly), atol=1e-12)


def test_traces_together_equal_traces_one_by_one():
    hourly = np.random.default_rng(4).normal(6, 5, (2, 3, 500))
    hourly[1, 2, 100:110] = np.nan
    for measure in (chilling_hours, utah_units, chill_portions):
        together = measure(hourly)
        for place in np.ndindex(2, 3):
            np.testing.assert_array_equal(together[place], measure(hourly[place]))


@given(hours, st.integers(0, 200))
def test_hour_by_hour_measures_may_be_cut_anywhere(hourly, cut):
    for measure in (chilling_hours, utah_units):
        parts = measure(hourly[:cut]).sum() + measure(hourly[cut:]).sum()
        assert parts == measure(hourly).sum()


@given(hours, st.integers(0, 200), st.integers(0, 200))
def test_a_season_cut_in_parts_and_joined_gives_the_same_portions(hourly, one, other):
    first, second = sorted((min(one, hourly.size), min(other, hourly.size)))
    whole = chill_portions(hourly)
    store, parts = None, []
    for part in np.split(hourly, [first, second]):
        if part.size:
            portions, store = continued_chill_portions(part, store)
            parts.append(portions)
    np.testing.assert_array_equal(np.concatenate(parts), whole)


def test_the_store_left_is_not_the_store_given():
    store = np.array([0.4, 0.9])
    continued_chill_portions(np.full((2, 30), 6.0), store)
    assert store.tolist() == [0.4, 0.9]


@given(hours)
def test_running_chill_portions_never_fall(hourly):
    assert (np.diff(np.cumsum(chill_portions(hourly))) >= 0).all()


# Pins of our own run: sixty days of a sine between two temperatures, offset 273.
@pytest.mark.parametrize(("low", "high", "portions"), [(2, 10, 46.075), (4, 20, 20.181)])
def test_chill_portions_of_a_daily_wave(low, high, portions):
    wave = (low + high) / 2 + (high - low) / 2 * np.sin(2 * np.pi * np.arange(1440) / 24)
    assert chill_portions(wave, 273).sum() == pytest.approx(portions, abs=5e-4)
