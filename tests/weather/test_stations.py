"""Which station stands for a site, and what its height makes of its readings."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import StationFacts
from season_engine.weather.station.choice import Station, corrected, height_correction_c, in_order
from tests.weather.provider import NOW

ON = dt.date(2026, 3, 1)
GOOD = Station(
    "A", "Kettle", 45.0, -30.0, 400.0, "UTC", 20.0, dt.date(1990, 1, 1), dt.date(2026, 2, 27), 0.97, True
)


def order(*stations: Station, on: dt.date = ON, listed_on: dt.date = ON, elevation_m: float | None = 400.0):
    return [one.id for one in in_order(stations, elevation_m, on=on, listed_on=listed_on)]


def test_the_nearer_one_comes_first() -> None:
    assert order(replace(GOOD, id="far", distance_km=30.0), GOOD) == ["A", "far"]


def test_height_counts_against_distance() -> None:
    """Our own rule: 100 m of height weigh as much as 10 km."""
    higher = replace(GOOD, id="higher", distance_km=5.0, elevation_m=600.0)
    assert order(higher, GOOD) == ["A", "higher"]
    assert order(replace(higher, elevation_m=500.0), GOOD) == ["higher", "A"]
    assert order(higher, GOOD, elevation_m=None) == ["higher", "A"]  # without heights distance decides


def test_hourly_extremes_only_where_no_daily_ones_are() -> None:
    hourly = replace(GOOD, id="hourly", distance_km=1.0, daily_extremes=False)
    assert order(hourly, GOOD) == ["A", "hourly"]


@pytest.mark.parametrize(
    "poor",
    [
        {"last_day": dt.date(2023, 1, 31)},
        {"first_day": dt.date(2021, 6, 1)},
        {"completeness": 0.5},
        {"elevation_m": 1500.0},
    ],
    ids=["ended", "young", "full of holes", "another climate"],
)
def test_what_can_not_stand_in(poor: dict) -> None:
    assert order(replace(GOOD, **poor)) == []


def test_unknown_completeness_or_height_is_no_fault() -> None:
    assert order(replace(GOOD, completeness=None, elevation_m=None)) == ["A"]


def test_an_old_directory_does_not_end_a_station() -> None:
    listed_on = dt.date(2026, 3, 1)
    assert order(GOOD, on=dt.date(2028, 3, 1), listed_on=listed_on) == ["A"]
    assert order(GOOD, on=dt.date(2028, 3, 1), listed_on=dt.date(2028, 2, 20)) == []


def test_a_station_that_ended_later_was_alive_then() -> None:
    ended = replace(GOOD, last_day=dt.date(2023, 1, 31))
    assert order(ended, on=dt.date(2022, 6, 1)) == ["A"]


def test_height_correction_is_the_standard_atmosphere() -> None:
    # International standard atmosphere (ISO 2533), read in a secondary copy, the manual of an aerospace
    # toolbox: 281.65 K at 1 km and 216.65 K at 11 km, so 65 K over 10 km.
    per_km = (281.65 - 216.65) / 10.0
    assert height_correction_c(1000.0) == pytest.approx(per_km)
    assert height_correction_c(-200.0) == pytest.approx(-0.2 * per_km)
    assert height_correction_c(0.0) == height_correction_c(None) == 0.0


def test_height_correction_is_bounded() -> None:
    assert height_correction_c(3500.0) == height_correction_c(1000.0)
    assert height_correction_c(-3500.0) == -height_correction_c(1000.0)


def test_a_higher_station_is_colder_than_the_site() -> None:
    facts = StationFacts("A", "Kettle", 5.0, 200.0, height_correction_c(200.0), "x", "y", NOW)
    series = DailySeries(ON, np.array([1.0, np.nan]), np.array([8.0, 9.0]))
    at_site = corrected(series, facts)
    np.testing.assert_allclose(at_site.tmin_c, [2.3, np.nan])
    np.testing.assert_allclose(at_site.tmax_c, [9.3, 10.3])
