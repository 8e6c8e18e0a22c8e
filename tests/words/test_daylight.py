from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.measures.day_length import day_length_h
from season_engine.site import Site
from season_engine.words.daylight import daylight_sentence, sun_times


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


def test_the_days_length_in_words_with_its_hours_where_the_time_zone_is_known():
    """A pin of our own run; the lengths themselves are held to another formula above."""
    yard, on = Site("yard", 51.5, 11.5), dt.date(2026, 6, 20)
    assert daylight_sentence(yard, on, None) == "The sun is up for 16 h 38 min."
    told = daylight_sentence(yard, on, "Europe/Berlin")
    assert told == "The sun is up from 04:57 to 21:34, 16 h 38 min."
    assert daylight_sentence(Site("arctic", 75.0, 20.0), on, None) == "The sun doesn't set."
    assert daylight_sentence(Site("far east", -38.1, 145.6), on, None) == "The sun is up for 9 h 30 min."
