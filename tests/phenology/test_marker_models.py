from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.phenology.marker_models import (
    NEVER,
    alternating,
    chill_then_heat,
    day_reached,
    level_on,
    softened_heat,
    softened_level,
    thermal_time,
)

DAYS = 40
FORCING = arrays(np.float64, (3, DAYS), elements=st.floats(0, 20, allow_subnormal=False))
CHILL = arrays(np.float64, (3, DAYS), elements=st.floats(0, 1.5, allow_subnormal=False))
STARTS = st.integers(0, DAYS)
NEEDS = st.floats(1, 300)


# --- by hand ---------------------------------------------------------------------------------------------


def test_a_need_is_met_between_the_ends_of_two_days() -> None:
    level = np.array([[0.0, 10.0, 30.0, 30.0]])
    assert day_reached(level, 10.0) == [2.0]  # just at the end of the second day
    assert day_reached(level, 15.0) == [2.25]  # a quarter into the third
    assert day_reached(level, 30.0) == [3.0]
    assert day_reached(level, 30.01) == [NEVER]


def test_the_first_day_is_counted_from_nothing() -> None:
    assert day_reached(np.array([[8.0, 9.0]]), 2.0) == [0.25]


def test_each_row_may_have_a_need_of_its_own() -> None:
    level = np.array([[1.0, 2.0], [1.0, 2.0]])
    assert day_reached(level, np.array([1.5, 5.0])).tolist() == [1.5, NEVER]


def test_heat_before_the_start_is_not_counted() -> None:
    forcing = np.full((1, 10), 5.0)
    assert thermal_time(forcing, start=4, need=12.0) == [4 + 12 / 5]
    assert thermal_time(forcing, start=9, need=12.0) == [NEVER]


def test_in_sequence_heat_counts_from_the_day_the_chill_is_met() -> None:
    forcing, chill = np.full((1, 10), 5.0), np.full((1, 10), 2.0)
    assert chill_then_heat(forcing, chill, chill_need=6.0, need=5.0) == [3.0]  # met at the end of day 2
    assert chill_then_heat(forcing, chill, chill_need=21.0, need=5.0) == [NEVER]


def test_chill_units_undone_later_do_not_stop_the_heat() -> None:
    """Utah units of warm days are negative; rest once broken stays broken."""
    forcing = np.full((1, 6), 5.0)
    chill = np.array([[3.0, 3.0, -5.0, -5.0, -5.0, -5.0]])
    assert chill_then_heat(forcing, chill, chill_need=6.0, need=20.0) == [5.0]


def test_chill_softens_the_need() -> None:
    """Ten portions at 0.1 take a need of 50 down to 50 / e = 18.4, four days' worth of 5 and a bit less."""
    forcing, chill = np.full((1, 20), 5.0), np.zeros((1, 20))
    chill[0, 0] = 10.0
    found = softened_heat(forcing, chill, start=0, need=50.0, softening=0.1)
    assert found == pytest.approx(50 / math.e / 5)
    assert softened_heat(forcing, chill, start=0, need=50.0, softening=0.0) == [10.0]


def test_the_alternating_need_falls_to_its_least() -> None:
    forcing, cold = np.full((1, 50), 5.0), np.zeros((1, 50))
    assert alternating(forcing, cold, start=0, least=20.0, more=30.0, fall=0.5) == pytest.approx(10.0)
    cold[0, :8] = 100.0
    assert alternating(forcing, cold, start=8, least=20.0, more=30.0, fall=0.5) == pytest.approx(8 + 20 / 5)


# --- slow and plain --------------------------------------------------------------------------------------


def plainly(forcing, chill, need_on, start: int = 0, after: float = -math.inf) -> list[float]:
    """Day index on whose end the heat reaches the need, in a loop over rows and days."""
    found = []
    for heat_row, chill_row in zip(forcing, chill, strict=True):
        heat = cold = 0.0
        met = False
        day = NEVER
        for place, (warm, cool) in enumerate(zip(heat_row, chill_row, strict=True)):
            cold += cool
            met = met or cold >= after
            if place >= start and met:
                heat += warm
            if heat >= need_on(cold):
                day = place
                break
        found.append(day)
    return found


def on_whole_days(days: np.ndarray) -> list[float]:
    """The day in which it came: 12.5 and 13.0 both lie in day 12, counted from 0."""
    return [float(np.ceil(day) - 1) if np.isfinite(day) else NEVER for day in days]


def nearly(level: np.ndarray, need) -> bool:
    """Whether a level comes so near a need that the last digit decides."""
    return bool((np.abs(level - need) < 1e-6).any())


@given(FORCING, CHILL, STARTS, NEEDS)
def test_each_form_is_that_of_a_plain_loop(forcing, chill, start: int, need: float) -> None:
    forcing = forcing + 0.001  # a level that stands still has no day of its own
    heat = np.cumsum(np.where(np.arange(DAYS) >= start, forcing, 0), axis=1)
    cold = np.cumsum(chill, axis=1)
    if not nearly(heat, need):
        assert on_whole_days(thermal_time(forcing, start=start, need=need)) == plainly(
            forcing, chill, lambda _: need, start
        )
    softened = need * np.exp(-0.05 * cold)
    if not nearly(heat, softened):
        assert on_whole_days(
            softened_heat(forcing, chill, start=start, need=need, softening=0.05)
        ) == plainly(forcing, chill, lambda chilled: need * math.exp(-0.05 * chilled), start)
    falling = need + 80 * np.exp(-0.1 * cold)
    if not nearly(heat, falling):
        assert on_whole_days(
            alternating(forcing, chill, start=start, least=need, more=80.0, fall=0.1)
        ) == plainly(forcing, chill, lambda chilled: need + 80 * math.exp(-0.1 * chilled), start)
    in_sequence = np.cumsum(np.where(cold >= 12.0, forcing, 0), axis=1)
    if not nearly(cold, 12.0) and not nearly(in_sequence, need):
        assert on_whole_days(chill_then_heat(forcing, chill, chill_need=12.0, need=need)) == plainly(
            forcing, chill, lambda _: need, after=12.0
        )


# --- laws ------------------------------------------------------------------------------------------------


@given(FORCING, CHILL, STARTS, NEEDS, arrays(np.float64, (3, DAYS), elements=st.floats(0, 5)))
def test_more_heat_at_equal_chill_is_never_later(forcing, chill, start: int, need: float, more) -> None:
    for model in (
        lambda heat: thermal_time(heat, start=start, need=need),
        lambda heat: softened_heat(heat, chill, start=start, need=need, softening=0.03),
        lambda heat: chill_then_heat(heat, chill, chill_need=10.0, need=need),
        lambda heat: alternating(heat, chill, start=start, least=need, more=100.0, fall=0.05),
    ):
        assert (model(forcing + more) <= model(forcing) + 1e-6).all()


@given(FORCING, CHILL, STARTS, NEEDS, arrays(np.float64, (3, DAYS), elements=st.floats(0, 2)))
def test_more_chill_at_equal_heat_is_never_later(forcing, chill, start: int, need: float, more) -> None:
    for model in (
        lambda cold: softened_heat(forcing, cold, start=start, need=need, softening=0.03),
        lambda cold: chill_then_heat(forcing, cold, chill_need=10.0, need=need),
        lambda cold: alternating(forcing, cold, start=start, least=need, more=100.0, fall=0.05),
    ):
        assert (model(chill + more) <= model(chill) + 1e-6).all()


@given(FORCING, CHILL, STARTS, NEEDS)
def test_a_higher_need_is_never_sooner(forcing, chill, start: int, need: float) -> None:
    days = [
        softened_heat(forcing, chill, start=start, need=more, softening=0.03) for more in (need, need * 1.1)
    ]
    assert (days[0] <= days[1] + 1e-9).all()


@given(FORCING, CHILL, STARTS)
def test_the_level_never_falls(forcing, chill, start: int) -> None:
    level = softened_level(forcing, chill, start=start, softening=0.03)
    assert (np.diff(level, axis=1) >= 0).all()


@given(FORCING, NEEDS, st.integers(0, DAYS - 1))
def test_what_comes_after_it_changes_nothing(forcing, need: float, day: int) -> None:
    found = thermal_time(forcing, start=0, need=need)
    other = forcing.copy()
    other[:, day:] = 0.0
    early = found <= day
    assert np.array_equal(thermal_time(other, start=0, need=need)[early], found[early])


@given(FORCING, arrays(np.float64, 3, elements=st.floats(0.01, DAYS)))
def test_the_level_on_a_day_is_reached_on_that_day(forcing, days) -> None:
    level = np.cumsum(forcing + 0.1, axis=1)
    assert day_reached(level, level_on(level, days) - 1e-12) == pytest.approx(days, abs=1e-6)
