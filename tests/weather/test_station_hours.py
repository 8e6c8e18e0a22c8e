"""Stations of which the service has hours only: a day's extremes are those of its hours."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from season_engine.errors import WeatherError
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.station.provider import UnreadableError, read_hours
from season_engine.weather.station.readings import StationReadings, read_station
from tests.weather.asked import warnings
from tests.weather.provider import (
    FIRST_YEAR,
    NOW,
    SITE,
    STATIONS,
    TODAY,
    YESTERDAY,
    Listed,
    Provider,
    let_time_pass,
    packed,
    reading,
)

HEADER = ["year", "month", "day", "hour", "temp", "temp_source"]
AIRFIELD = dataclasses.replace(
    next(one for one in STATIONS if one.id == "Q0007"),
    files=("hourly",),
    first=dt.date(YESTERDAY.year - 2, 3, 1),
)
HELD = range(AIRFIELD.first.year, YESTERDAY.year + 1)
HELD_BY_UTC = range(AIRFIELD.first.year, TODAY.year + 1)


def read(cache: Path, **options: object) -> StationReadings:
    return read_station(
        SITE, AIRFIELD.id, Retrieval(**{"cache": cache, "on": YESTERDAY, "now": NOW, **options})
    )


def assert_every_day_is_right(readings: StationReadings, station: Listed, first: dt.date) -> None:
    series = readings.series
    assert (series.first_day, series.last_day) == (first, YESTERDAY)
    nothing = (np.nan, np.nan)
    expected = np.array([reading(station, day) or nothing for day in series.days.tolist()]).T
    # Hours are given to a hundredth of a degree, as are the days they were made from.
    np.testing.assert_allclose(
        [series.tmin_c, series.tmax_c], expected + readings.facts.correction_c, atol=0.006
    )


@pytest.mark.parametrize("longitude", [-30.0, 125.0, -150.0])
def test_extremes_are_those_of_the_days_by_the_sun(
    provider: Provider, tmp_path: Path, longitude: float
) -> None:
    """Files go by UTC: a year's first hours in the east, its last in the west, are in another."""
    station = dataclasses.replace(AIRFIELD, longitude=longitude)
    provider.stations = (station,)
    readings = read(tmp_path)
    assert readings.warnings == ()
    assert_every_day_is_right(readings, station, AIRFIELD.first)
    hourly = [path for path, status in provider.requests if status == 200 and path.startswith("/hourly/")]
    assert len(hourly) == len(set(hourly)) == len(HELD_BY_UTC)


def test_warm_expired_and_offline_as_with_days(provider: Provider, tmp_path: Path) -> None:
    provider.stations = (AIRFIELD,)
    cold = read(tmp_path)
    provider.counted()
    assert read(tmp_path).series.tmin_c.tobytes() == cold.series.tmin_c.tobytes()
    assert provider.counted() == {}
    let_time_pass(tmp_path, 2)
    assert read(tmp_path).warnings == ()
    assert {int(path.split("/")[2]) for path, _status in provider.requests} <= {NOW.year - 1, NOW.year}
    let_time_pass(tmp_path, 2)
    provider.stop()
    offline = read(tmp_path)
    assert offline.series.tmin_c.tobytes() == cold.series.tmin_c.tobytes()
    (warning,) = warnings(offline)
    assert "connection was refused" in warning
    next(tmp_path.glob("station-*.npz")).unlink()
    assert read(tmp_path).series.tmin_c.tobytes() == cold.series.tmin_c.tobytes()


def test_a_failed_year_of_hours_is_no_missing_year(provider: Provider, tmp_path: Path) -> None:
    provider.stations = (AIRFIELD,)
    provider.fault(f"/hourly/{HELD[1]}/", "500")
    readings = read(tmp_path)
    assert readings.facts.missing_years == ()
    (warning,) = warnings(readings)
    assert f"Readings of {HELD[1]} could not be fetched" in warning


def test_files_of_days_come_first(provider: Provider, tmp_path: Path) -> None:
    provider.stations = (dataclasses.replace(AIRFIELD, files=("daily", "hourly")),)
    assert len(read(tmp_path).series) > 365
    # On 1 January the new year has no file of days yet.
    hourly = [path for path, _status in provider.requests if "/hourly/" in path]
    assert not [path for path in hourly if f"/{TODAY.year}/" not in path or TODAY.year == YESTERDAY.year]


def test_days_without_extremes_count_as_no_days(provider: Provider, tmp_path: Path) -> None:
    station = dataclasses.replace(AIRFIELD, files=("daily", "hourly"))
    provider.stations = (station,)
    provider.fault("/daily/", "means only")
    readings = read(tmp_path)
    assert readings.warnings == ()
    assert_every_day_is_right(readings, station, AIRFIELD.first)


def test_a_station_that_reports_extremes_is_not_asked_for_hours(provider: Provider, tmp_path: Path) -> None:
    provider.fault("/daily/", "404")
    with pytest.raises(WeatherError, match="no daily temperatures"):
        read_station(SITE, "Q0001", Retrieval(tmp_path, YESTERDAY, NOW))
    assert not any("/hourly/" in path for path, _status in provider.requests)
    assert any(f"/daily/{FIRST_YEAR}/" in path for path, _status in provider.requests)


def a_day(hours: int, source: str = "isd_lite", header: list[str] = HEADER) -> bytes:
    return packed([["2021", "5", "4", str(hour), f"{hour}.5", source] for hour in range(hours)], header)


@pytest.mark.parametrize(("hours", "read_whole"), [(24, True), (20, True), (19, False)])
def test_a_day_needs_four_fifths_of_its_hours(hours: int, read_whole: bool) -> None:
    year = read_hours([a_day(hours)], 2021, 0.0)
    place = dt.date(2021, 5, 4).timetuple().tm_yday - 1
    expected = [0.5, hours - 0.5] if read_whole else [np.nan, np.nan]
    assert len(year.series) == 365
    np.testing.assert_array_equal([year.series.tmin_c[place], year.series.tmax_c[place]], expected)
    assert np.isnan(np.delete(year.series.tmin_c, place)).all()


def test_modelled_hours_are_no_readings() -> None:
    assert np.isnan(read_hours([a_day(24, "dwd_mosmix")], 2021, 0.0).series.tmin_c).all()
    mixed = packed([["2021", "5", "4", str(hour), "1.0", "isd_lite metar"] for hour in range(24)], HEADER)
    assert np.isfinite(read_hours([mixed], 2021, 0.0).series.tmin_c).sum() == 1


@pytest.mark.parametrize(
    "content",
    [
        a_day(24, header=["year", "month", "day", "stunde", "temp", "temp_source"]),
        a_day(24, header=["year", "month", "day", "hour", "warmth", "temp_source"]),
        packed([["2021", "13", "4", "0", "1.0", "isd_lite"]], HEADER),
        packed([["2021", "5", "4", "0", "warm", "isd_lite"]], HEADER),
        packed([["2021", "5", "4", "31", "1.0", "isd_lite"]], HEADER),
        packed([["2021", "5"]], HEADER),
        packed([["9" * 30, "5", "4", "0", "1.0", "isd_lite"]], HEADER),
        packed([["2021", "5", "4", "0", "nan", "isd_lite"]], HEADER),
        packed([["2021", "5", "4\r", "0", "1.0", "isd_lite"]], HEADER),
    ],
    ids=[
        *("no hour", "no temperature", "month 13", "no number", "hour 31", "half a line"),
        *("endless year", "not a number", "stray carriage return"),
    ],
)
def test_what_can_not_be_read_is_said(content: bytes) -> None:
    with pytest.raises(UnreadableError):
        read_hours([content], 2021, 0.0)
