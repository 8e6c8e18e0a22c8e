"""Readings that are written on change, at no steady times: which days have extremes."""

from __future__ import annotations

import datetime as dt
import math
import random

import numpy as np

from season_engine.weather.logger.reading import LoggerRecord
from tests.weather.readings_made import Reading, read, says, spelt
from tests.weather.test_logger_told_dates import refusal

FIRST = dt.datetime(2024, 3, 1, 0, 20)
DAYS = 30


def on_change(minutes: tuple[int, int]) -> list[Reading]:
    """A wave of a day with cold at four, seen at times that lie so far apart."""
    draw, at, rows = random.Random(7), FIRST, []
    while at < FIRST + dt.timedelta(days=DAYS):
        hour = at.hour + at.minute / 60
        rows.append((at, round(8 - 6 * math.cos(2 * math.pi * (hour - 4) / 24) + draw.gauss(0, 0.3), 1)))
        at += dt.timedelta(minutes=draw.randint(*minutes))
    return rows


def text_of(rows: list[Reading]) -> str:
    return spelt("time,temp °C", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c}", rows)


def without(record: LoggerRecord) -> list[int]:
    """Days, from 0, without extremes."""
    return np.flatnonzero(np.isnan(record.daily.tmin_c)).tolist()


def test_a_day_without_a_long_gap_has_extremes() -> None:
    rows = on_change((40, 110))
    record = read(text_of(rows))
    assert says(record, rows) and record.form.on_change and without(record) == []
    day = [c for at, c in rows if at.date() == dt.date(2024, 3, 10)]
    assert (record.daily.tmin_c[9], record.daily.tmax_c[9]) == (min(day), max(day))


def test_a_day_with_a_long_gap_has_none() -> None:
    silent = dt.datetime(2024, 3, 10, 3), dt.datetime(2024, 3, 10, 6, 30)
    over_midnight = dt.datetime(2024, 3, 20, 22), dt.datetime(2024, 3, 21, 1, 45)
    rows = [
        one
        for one in on_change((40, 110))
        if not any(first <= one[0] <= last for first, last in (silent, over_midnight))
    ]
    assert without(read(text_of(rows))) == [9, 19, 20]


def test_steady_readings_and_rare_ones_are_held_to_an_hour() -> None:
    assert "hours apart" in refusal(text_of(on_change((90, 90))))
    assert "hours apart" in refusal(text_of(on_change((150, 320))))
    stuck = [(at, float(round(c / 20))) for at, c in on_change((40, 110))]  # nearly always the same
    assert "hours apart" in refusal(text_of(stuck))


def test_steady_readings_need_their_hours_as_ever() -> None:
    rows = [one for one in on_change((60, 60)) if one[0].day != 10 or not 3 <= one[0].hour <= 7]
    record = read(text_of(rows))
    assert not record.form.on_change and without(record) == [9]
