from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.day_length import day_length_h
from season_engine.report.sunrise import sun_times
from season_engine.site import Site


def test_local_times_fall_on_the_date_asked_for():
    place = Site("far east", -38.1, 145.6)
    times = sun_times(place, dt.date(2026, 1, 5), ZoneInfo("Australia/Melbourne"))
    assert times.sunrise is not None
    assert times.sunset is not None
    assert times.sunrise.date() == times.sunset.date() == dt.date(2026, 1, 5)
    assert times.sunrise.utcoffset() == dt.timedelta(hours=11)
    assert times.sunrise.hour < 12 < times.sunset.hour


def test_polar_day_and_night_have_neither():
    arctic = Site("arctic", 75.0, 20.0)
    assert sun_times(arctic, dt.date(2026, 6, 21)) == (None, None, "day")
    assert sun_times(arctic, dt.date(2026, 12, 21)) == (None, None, "night")


@given(st.floats(-60, 60), st.dates(dt.date(2020, 1, 1), dt.date(2030, 12, 31)))
def test_the_two_definitions_of_a_day_agree_to_minutes(latitude, on):
    """NOAA's equations against Forsythe et al. (1995): nine minutes at most up to 60 degrees."""
    times = sun_times(Site("anywhere", latitude, 0.0), on)
    assert times.sunrise is not None
    assert times.sunset is not None
    hours = (times.sunset - times.sunrise).total_seconds() / 3600
    assert hours == pytest.approx(float(day_length_h(latitude, on.timetuple().tm_yday)), abs=0.15)
