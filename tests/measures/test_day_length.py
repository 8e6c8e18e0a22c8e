from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from astral import Observer
from astral.sun import sunrise, sunset
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.day_length import day_length_h

SUN_CENTRE = 0.0
DAYS = np.arange(1, 366)
latitudes = st.floats(-90, 90)


# xclim, tests/test_helpers.py, TestDayLength.test_day_lengths (commit 01aed1d): the sun's centre on the
# horizon, another formula for its declination (Spencer 1971), printed to 0.01 h.
@pytest.mark.parametrize(
    ("day", "hours"),
    [
        (356, [18.49, 15.43, 13.93, 12.0, 10.07, 8.57, 5.51, 0.0]),  # 21 December 1992, a leap year
        (172, [5.51, 8.57, 10.07, 12.0, 13.93, 15.43, 18.49, 24.0]),  # 21 June 1993
        (355, [18.49, 15.43, 13.93, 12.0, 10.07, 8.57, 5.51, 0.0]),  # 21 December 1993
    ],
)
def test_solstices_as_another_library_has_them(day, hours):
    at = np.array([-60, -45, -30, 0, 30, 45, 60, 80])
    np.testing.assert_allclose(day_length_h(at, day, SUN_CENTRE), hours, atol=0.01)


def test_fao56_example_9():
    # Allen et al. (1998), FAO Irrigation and Drainage Paper 56, examples 8 and 9: 3 September (day 246) at
    # 20 S has N = 11.7 h (read in a secondary copy, the tests of PyETo). The sun's centre is on the horizon
    # there too, but its declination comes from another formula: 0.05 h besides the rounding of 0.05 h.
    assert day_length_h(-20, 246, SUN_CENTRE) == pytest.approx(11.7, abs=0.1)


def test_equator_at_equinox_has_seven_minutes_more_than_half_a_day():
    # "about 12 h 7 min" with refraction: GISS, notes to the sunrise calculator aom.giss.nasa.gov/srlocat
    # (read in a stored copy).
    assert day_length_h(0, 80) == pytest.approx(12 + 7 / 60, abs=1 / 60)


@pytest.mark.parametrize(
    ("latitude", "worst_min", "mean_min"),
    [(0, 1, 0.5), (20, 2, 1), (-35, 3, 1.5), (35, 3, 1.5), (51.5, 5, 3), (60, 6, 4), (-60, 6, 4)],
)
def test_agrees_with_the_sunrise_equations_of_astral(latitude, worst_min, mean_min):
    # The astral library computes sunrise and sunset as NOAA does, refraction and upper edge included. The
    # bounds are what was measured for 2023, in minutes and rounded up.
    observer = Observer(latitude, 0.0)
    days = DAYS[::4]
    dates = [dt.date(2023, 1, 1) + dt.timedelta(int(day) - 1) for day in days]
    theirs = [(sunset(observer, on) - sunrise(observer, on)).total_seconds() / 60 for on in dates]
    apart = np.abs(day_length_h(latitude, days) * 60 - theirs)
    assert apart.max() < worst_min
    assert apart.mean() < mean_min


# Pins of our own run.
@pytest.mark.parametrize(
    ("latitude", "day", "angle", "hours"),
    [
        (35, 172, 0.8333, 14.513),
        (35, 355, 0.8333, 9.798),
        (-35, 172, 0.8333, 9.797),
        (-35, 355, 0.8333, 14.512),
        (51.5, 172, 0.8333, 16.640),
        (51.5, 355, 0.8333, 7.826),
        (35, 172, 0.0, 14.357),
    ],
)
def test_pins(latitude, day, angle, hours):
    assert day_length_h(latitude, day, angle) == pytest.approx(hours, abs=5e-4)


def test_polar_day_and_night_are_clamped():
    assert day_length_h(75, 172) == 24
    assert day_length_h(75, 355) == 0
    assert day_length_h(-75, 172) == 0
    assert np.isfinite(day_length_h([[-90], [90]], DAYS)).all()


@given(latitudes, st.integers(1, 366))
def test_lies_between_nothing_and_a_whole_day(latitude, day):
    assert 0 <= day_length_h(latitude, day) <= 24


@given(latitudes, st.integers(1, 366))
def test_hemispheres_share_out_the_day_between_them(latitude, day):
    """With the sun's centre on the horizon, day here is night at the same latitude over there."""
    both = day_length_h(latitude, day, SUN_CENTRE) + day_length_h(-latitude, day, SUN_CENTRE)
    assert both == pytest.approx(24, abs=1e-6)


@given(latitudes, st.integers(1, 366))
def test_refraction_only_lengthens_the_day(latitude, day):
    assert day_length_h(latitude, day) >= day_length_h(latitude, day, SUN_CENTRE)


def test_arrays_broadcast_and_equal_one_by_one():
    at = np.array([-45.0, 0.0, 62.5])
    together = day_length_h(at[:, None], DAYS)
    assert together.shape == (3, 365)
    assert together[2, 100] == day_length_h(62.5, 101)
