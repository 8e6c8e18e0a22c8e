"""Names of columns on two lines, and columns beside the extremes: when they were, and how good they are."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.errors import GrowerError
from tests.weather.readings_made import DAYS, read, says_days, spelt_days

HEAD = "Garden\n\nDate,Mean (C),Max (C),{},Min (C),{},Rain (mm)\n,,,{},,{},"


def with_times(day: dt.date, low: float, high: float) -> str:
    return (
        f"{day},{(low + high) / 2:.1f},{high},14:{day.day:02},{low},{'24:00' if day.day % 3 else '5:10'},0.0"
    )


def test_times_below_the_extremes_are_none_of_the_readings() -> None:
    record = read(spelt_days(HEAD.format("", "", "time", "time"), with_times))
    assert says_days(record) and record.form.header_line == 3


def test_so_are_those_on_one_line() -> None:
    assert says_days(read(spelt_days("Date,Mean,Max,Time,Min,Time,Rain", with_times)))
    assert says_days(read(spelt_days("Date,Mean,Max,Max time,Min,Min time,Rain", with_times)))


def with_marks(day: dt.date, low: float, high: float) -> str:
    bad = day.day == 7
    return f"{day},0.0,{high},1,{99.9 if bad else low},{9 if bad else 1},0.0"


def test_marks_below_the_extremes_are_asked_about() -> None:
    text = spelt_days(HEAD.format("", "", "quality", "quality"), with_marks)
    with pytest.raises(GrowerError, match="its readings are marked"):
        read(text)
    low = read(text, flags=("1",)).daily.tmin_c
    assert np.array_equal(np.isnan(low), [day.day == 7 for day, _, _ in DAYS])


def marked(note: str) -> str:
    def spell(day: dt.date, low: float, high: float) -> str:
        return f"{day},{low}{')' if day.day == 7 else ''},{high}"

    return spelt_days("date,tmin,tmax", spell) + f"\n{note}\n"


@pytest.mark.parametrize(
    "note", ["\u300c)\u300dを付した値は準正常値です", "\u201c)\u201d: some hours are missing, still valid"]
)
def test_a_bracket_that_the_foot_explains(note: str) -> None:
    assert says_days(read(marked(note)))


def test_a_bracket_that_nothing_calls_good_is_asked_about_or_left_out() -> None:
    with pytest.raises(GrowerError, match=r"flags = \[\"\", \"\)\"\]"):
        read(marked("Station of the club"))
    for note in ("\u300c)\u300dを付した値は欠測を含む", "\u201c)\u201d: not usable"):
        low = read(marked(note)).daily.tmin_c
        assert np.isnan(low[6])
    assert says_days(read(marked("nothing"), flags=("", ")")))
