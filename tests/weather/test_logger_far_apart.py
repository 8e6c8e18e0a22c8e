"""Readings two or three hours apart: taken only where the grower says so, and told."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.weather.logger.far_apart import missed
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import LoggerRecord, record_of
from season_engine.weather.logger.sensors import place_of
from season_engine.weather.notices import ReadingsApart
from season_engine.workspace.settings import LoggerWeather
from tests.benchmarks.logger_exports import exports
from tests.benchmarks.thinned import SETS
from tests.benchmarks.thinned import missed as missed_of

SITE = Site("archive", 51.0, 39.0, 150.0)
START = dt.datetime(2024, 3, 1)


def text_of(hours: int, days: int = 20, without: int | None = None, ahead: int = 0) -> str:
    """A day's wave, lowest at 3 and highest at 15, read every so many hours; one reading may be lacking."""
    rows = ["time,temp"]
    for place, hour in enumerate(range(0, days * 24, hours)):
        celsius = 8 - 6 * math.cos((hour - 3) / 24 * 2 * math.pi)
        if place != without:
            rows.append(f"{START + dt.timedelta(hours=hour + ahead):%Y-%m-%d %H:%M},{celsius:.1f}")
    return "\n".join(rows) + "\n"


def read(text: str, hours: int = 1) -> LoggerRecord:
    return record_of([("archive.csv", text.encode())], ReadAs(interval_hours=hours), SITE)


def test_they_are_refused_with_the_line_to_write() -> None:
    for hours in (2, 3):
        with pytest.raises(GrowerError, match=rf"{hours} hours apart.*interval_hours = {hours}") as found:
            read(text_of(hours))
        assert "too mild" in str(found.value)
    with pytest.raises(GrowerError, match="3 hours apart"):
        read(text_of(3), 2)
    with pytest.raises(GrowerError, match="4 hours apart; 3 are the most") as four:
        read(text_of(4), 3)
    assert "interval_hours" not in str(four.value)


def test_the_days_are_those_of_the_readings_and_it_is_told() -> None:
    record = read(text_of(3), 3)
    assert record.form.step_minutes == 180 and len(record.daily) == 20
    assert np.allclose(record.daily.tmin_c, 2.0) and np.allclose(record.daily.tmax_c, 14.0)
    (told,) = missed(record.form)
    assert isinstance(told, ReadingsApart) and told.hours == 3
    assert missed(read(text_of(1)).form) == ()


def test_a_day_that_lacks_one_of_its_readings_counts_for_nothing() -> None:
    lacks = np.isnan(read(text_of(3, without=13), 3).daily.tmax_c)
    assert np.flatnonzero(lacks).tolist() == [1]


def test_a_file_by_the_hour_is_read_as_without_the_setting() -> None:
    alone, told = read(text_of(1, without=100)), read(text_of(1, without=100), 3)
    assert np.array_equal(alone.daily.tmin_c, told.daily.tmin_c) and alone.form == told.form


def test_a_clock_that_is_not_the_yards_is_still_noticed() -> None:
    with pytest.raises(GrowerError, match="warmest about"):
        read(text_of(3, ahead=9), 3)


def test_the_setting_is_three_at_most() -> None:
    for wrong in (0, 4):
        with pytest.raises(ValueError, match="interval_hours"):
            LoggerWeather.model_validate({"source": "logger", "file": "a.csv", "interval_hours": wrong})


def test_what_is_told_is_what_was_measured() -> None:
    """As `python -m tests.benchmarks.thinned` prints it, to a tenth."""
    within = [one for which in SETS for one in exports(which) if one.about["kind"] == "readings"]
    for hours, (told,) in ((3, missed(read(text_of(3), 3).form)), (2, missed(read(text_of(2), 2).form))):
        c = np.concatenate([missed_of(one, hours) for one in within])
        assert told.mean_c == pytest.approx(float(c.mean()), abs=0.06)
        assert told.one_in_twenty_c == pytest.approx(float(np.quantile(c, 0.95)), abs=0.11)


def test_an_archive_is_no_hive() -> None:
    assert place_of("archive") == place_of("archived temp") == "unknown"
    assert place_of("hive 2") == place_of("beehive") == "elsewhere"
