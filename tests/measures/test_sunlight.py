"""Sunlight from daily extremes, against printed examples, sums and the sky's geometry."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.sunlight import COASTAL, clearness, sine_of_height, sunlight
from season_engine.measures.water_demand import extraterrestrial_radiation_mj

LATITUDES = st.floats(-66, 66)
DAYS = st.integers(1, 365)


def level_mj(latitude: float, day: int, tmin: float, tmax: float) -> float:
    return float(clearness(tmin, tmax) * extraterrestrial_radiation_mj(latitude, day))


def test_the_published_example_of_radiation_from_extremes() -> None:
    """FAO-56, example 15: a July at 45.72 degrees north, 14.8 to 26.6 degC, 22.3 MJ (from memory)."""
    assert level_mj(45.72, 196, 14.8, 26.6) == pytest.approx(22.3, abs=0.15)
    assert clearness(14.8, 26.6, COASTAL) == pytest.approx(0.19 * np.sqrt(11.8))
    assert clearness(0.0, 40.0) == 0.75  # a clear day


def test_the_height_at_noon_is_the_complement_of_latitude_and_declination() -> None:
    """At the solstice 23.4 degrees, from any almanac."""
    height = np.degrees(np.arcsin(sine_of_height(36.0, [172])[0]))
    assert height[12] == pytest.approx(90 - 36 + 23.4, abs=0.2)
    assert height.argmax() == 12 and height[11] == pytest.approx(height[13])


@given(LATITUDES, DAYS, st.floats(4, 16))
def test_a_days_light_adds_up_and_is_never_more_than_the_formula_says(latitude, day, swing) -> None:
    sun = sunlight([10.0], [10.0 + swing], latitude, [day])
    found_mj = sun.irradiance().top.sum() * 3600 / 1e6
    expected = level_mj(latitude, day, 10.0, 10.0 + swing)
    assert found_mj <= expected + 1e-9
    if (sun.beam < 1).all() and expected > 1:
        assert found_mj == pytest.approx(expected)


@given(LATITUDES, DAYS, st.floats(0, 30))
def test_no_beam_beats_the_clear_skys_and_none_shines_at_night(latitude, day, swing) -> None:
    light = sunlight([10.0], [10.0 + swing], latitude, [day]).irradiance()
    for one in light:
        assert (one >= 0).all() and (one[:, 0] >= 0).all() and one.max(initial=0) < 1353
        assert (one[sine_of_height(latitude, [day]) <= 0] == 0).all()


def test_a_beam_on_a_cylinder_by_adding_up_its_strips() -> None:
    """Round the side the beam meets a strip by the cosine of its bearing, and the far half not at all."""
    sun = sunlight([10.0], [24.0], 36.0, [172])
    bearing = np.linspace(0, 2 * np.pi, 3601)[:-1]
    cosine = np.sqrt(1 - sun.course.sine[0, 12] ** 2)
    beam, sky = sun.beam[0] * sun.course.clear_w[0, 12], sun.diffuse[0] * sun.course.sky_w_mj[0, 12]
    ground = 0.2 * (beam * sun.course.sine[0, 12] + sky)
    strips = beam * cosine * np.maximum(np.cos(bearing), 0) + (sky + ground) / 2
    assert sun.irradiance().side[0, 12] == pytest.approx(strips.mean(), rel=1e-5)


def test_a_low_sun_lights_the_side_more_than_the_top() -> None:
    winter = sunlight([-5.0], [7.0], 45.0, [355]).irradiance()
    summer = sunlight([15.0], [27.0], 30.0, [172]).irradiance()
    assert winter.side[0, 12] > winter.top[0, 12] * 0.6
    assert summer.side[0, 12] < summer.top[0, 12] * 0.4


def test_polar_night_and_a_missing_reading() -> None:
    assert (sunlight([-40.0], [-20.0], 80.0, [355]).irradiance().side == 0).all()
    dark = sunlight([1.0, np.nan], [9.0, 9.0], 50.0, [100, 101]).irradiance().side
    assert np.isfinite(dark[0]).all() and np.isnan(dark[1]).all()


def test_a_day_without_a_swing_is_dark() -> None:
    assert (sunlight([10.0], [10.0], 50.0, [172]).irradiance().top == 0).all()
