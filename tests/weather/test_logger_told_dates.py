"""Dates in parts, without names, by a setting's format, and those that a spreadsheet changed about."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable

import pytest

from season_engine.errors import GrowerError
from tests.weather.readings_made import (
    DAYS,
    READINGS,
    Reading,
    comma,
    read,
    says,
    says_days,
    spelt,
    spelt_days,
)
from tests.weather.test_logger_grids import MONTHS

FORTY = [
    (
        dt.datetime(2025, 4, 3) + dt.timedelta(hours=at),
        round(8 + 5 * math.cos(math.pi * (at % 24 - 15.5) / 12), 1),
    )
    for at in range(24 * 40)
]


def day_of_year(at: dt.datetime) -> int:
    return at.timetuple().tm_yday


def refusal(text: str, **how: object) -> str:
    with pytest.raises(GrowerError) as caught:
        read(text, **how)
    return str(caught.value)


@pytest.mark.parametrize(
    ("spell", "columns"),
    [
        (lambda at, c: f"{at:%Y},{day_of_year(at)},{at.hour * 100 + at.minute},{c}", {}),
        (
            lambda at, c: f"7,{at:%Y},{day_of_year(at)},{at.hour * 100 + at.minute},12.1,{c},{c + 3:.1f}",
            {"temp": 6},
        ),
        (lambda at, c: f"{at:%Y %m %d %H %M} {c:6.1f}", {}),
        (lambda at, c: f"{at:%d %m %Y %H%M} {c:6.1f}", {}),
        (
            lambda at, c: f"{at:%d %m %y %H %M} {c:6.1f}",
            {"day": 1, "month": 2, "year": 3, "hour": 4, "minute": 5, "temp": 6},
        ),
        (
            lambda at, c: f"{at:%y},{day_of_year(at)},{at.hour * 100 + at.minute},{c}",
            {"year": 1, "day_of_year": 2, "time": 3, "temp": 4},
        ),
        (lambda at, c: f"{at:%Y%m%d%H%M} {c:5.1f}", {}),
    ],
)
def test_parts_of_dates_that_nothing_names(
    spell: Callable[[dt.datetime, float], str], columns: dict[str, int]
) -> None:
    text = spelt("", spell).lstrip("\n")
    if columns:
        assert "under [site.weather]" in refusal(text) or "no columns here" in refusal(text)
    assert says(read(text, columns=columns))


def test_days_that_nothing_names() -> None:
    assert says_days(
        read(spelt_days("", lambda day, low, high: f"{day:%Y %m %d} {high:6.1f} {low:6.1f}").lstrip("\n"))
    )


def test_columns_of_parts_that_settings_name() -> None:
    text = spelt_days("A,B,C,X,N", lambda day, low, high: f"{day.year},{day.month},{day.day},{high},{low}")
    columns = {"year": "A", "month": "B", "day": "C", "tmin": "N", "tmax": "X"}
    assert says_days(read(text, columns=columns))


def minutes(at: dt.datetime) -> int:
    return at.hour * 60 + at.minute


def of_month(at: dt.datetime) -> str:
    return f"{at.year},{MONTHS[at.month - 1]},{at.day}"


@pytest.mark.parametrize(
    ("header", "spell"),
    [
        ("DD MM YY  HH MM    T °C", lambda at, c: f"{at:%d %m %y  %H %M}  {c:6.1f}"),
        ("Year,Month,Day,Hour,Min,T °C", lambda at, c: f"{of_month(at)},{at.hour},{at.minute},{c}"),
        ("Year,DOY,Hour,T °C", lambda at, c: f"{at.year},{day_of_year(at)},{minutes(at) / 60:.2f},{c}"),
        ("Year,DOY,T °C", lambda at, c: f"{at.year},{day_of_year(at) + minutes(at) / 1440:.5f},{c}"),
        ("Logger 2025\nZeit;T °C", lambda at, c: f"{at:%d.%m. %H:%M};{comma(c)}"),
    ],
)
def test_parts_of_dates_by_name(header: str, spell: Callable[[dt.datetime, float], str]) -> None:
    assert says(read(spelt(header, spell)))


def test_a_title_tells_the_year_of_months_and_days() -> None:
    year = [one for one in DAYS if one[0].year == 2024]
    rows = spelt_days("Month;Day;Min;Max", lambda day, low, high: f"{day.month};{day.day};{low};{high}", year)
    assert says_days(read("Garden 2024\n" + rows), year)
    assert "year = 2024" in refusal("Logger installed 2019\n" + rows)
    assert says_days(read("Logger installed 2019\n" + rows, year=2024), year)
    weekdays = ("Mo", "Di", "Mi", "Do", "Fr", "Sa", "So")
    named = spelt_days(
        "Wetter 2024\nTag;Min;Max",
        lambda day, low, high: f"{weekdays[day.weekday()]} {day:%d.%m.};{comma(low)};{comma(high)}",
        year,
    )
    assert says_days(read(named), year)


def test_midnight_at_the_end_of_a_day() -> None:
    def spell(at: dt.datetime, c: float) -> str:
        if at.hour or at.minute:
            return f"{at:%d/%m/%Y},{at.hour * 100 + at.minute},{c}"
        return f"{at - dt.timedelta(days=1):%d/%m/%Y},2400,{c}"

    assert says(read(spelt("Date,Time,T (C)", spell)))


@pytest.mark.parametrize(("date", "time"), [("%d%m%Y", "%H%M"), ("%y%m%d", "%H:%M")])
def test_a_format_tells_dates_from_numbers(date: str, time: str) -> None:
    text = spelt("DATE TIME TEMP", lambda at, c: f"{at:{date}} {at:{time}} {c:5.1f}")
    assert refusal(text)
    assert says(read(text, date_format=date))


def test_lines_of_several_kinds() -> None:
    def spell(at: dt.datetime, c: float) -> str:
        mean = f"\n124,{at:%Y},{day_of_year(at)},600,10.32,1523,4.25" * (minutes(at) == 360)
        return f"110,{at:%Y},{day_of_year(at)},{at.hour * 100 + at.minute},12.10,{c:.2f},77.1{mean}"

    record = read(spelt("", spell).lstrip("\n"), columns={"temp": 6})
    (other,) = (one for one in record.form.left if one.kind == "other kind")
    assert says(record) and other.lines == 14
    both = spelt("", lambda at, c: f"A,{at:%Y-%m-%d %H:%M},{c}\nB,{at:%Y-%m-%d %H:%M},3.01,9,8").lstrip("\n")
    assert 'sensor = "A"' in refusal(both)
    assert says(read(both, sensor="A"))


# A spreadsheet that reads 3/4 as 4 March does so up to the twelfth, and leaves 13/4 a text
CHANGED: dict[str, Callable[[dt.date], str]] = {
    "with the year first": lambda day: f"{day.year}-{day.day:02d}-{day.month:02d}",
    "in the same form": lambda day: f"{day.month:02d}/{day.day:02d}/{day.year}",
    "by name": lambda day: f"{day.month:02d}-{MONTHS[day.day - 1]}-{day.year}",
}


@pytest.mark.parametrize("name", CHANGED)
def test_dates_that_a_spreadsheet_changed_about_are_put_right(name: str) -> None:
    def date(day: dt.date) -> str:
        return CHANGED[name](day) if day.day <= 12 else f"{day:%d/%m/%Y}"

    record = read(spelt("Date,Time,Temp °C", lambda at, c: f"{date(at)},{at:%H:%M},{c}", FORTY))
    assert says(record, FORTY)
    assert any(one.kind == "swapped" and one.first_line == 2 for one in record.form.left)
    if name != "by name":
        assert says_days(
            read(spelt_days("Date,Min °C,Max °C", lambda day, low, high: f"{date(day)},{low},{high}"))
        )


def test_dates_all_of_which_seem_changed_about_are_asked_about() -> None:
    early = [one for one in FORTY if one[0].month == 4 and one[0].day <= 12]
    text = spelt("Date,Time,Temp °C", lambda at, c: f"{at:%Y-%d-%m},{at:%H:%M},{c}", early)
    assert 'date_format = "%Y-%d-%m"' in refusal(text)
    assert says(read(text, date_format="%Y-%d-%m"), early)


def test_month_first_dates_may_be_changed_about_too() -> None:
    def date(day: dt.date) -> str:
        return f"{day:%Y-%d-%m}" if day.day <= 12 else f"{day:%m/%d/%Y}"

    assert says(read(spelt("Time,Temp °C", lambda at, c: f"{date(at)} {at:%H:%M},{c}", FORTY)), FORTY)


def test_dates_of_two_forms_that_follow_one_another_stay_as_they_are() -> None:
    def date(day: dt.date) -> str:
        return f"{day:%Y-%m-%d}" if day.day <= 12 else f"{day:%d/%m/%Y}"

    record = read(spelt("Date,Time,Temp °C", lambda at, c: f"{date(at)},{at:%H:%M},{c}", FORTY))
    assert says(record, FORTY) and not any(one.kind == "swapped" for one in record.form.left)


def test_dates_that_may_be_changed_about_are_refused() -> None:
    shuffled: list[Reading] = [*FORTY[500:], *FORTY[:500]]
    text = spelt(
        "Date,Time,Temp °C",
        lambda at, c: (
            f"{CHANGED['in the same form'](at) if at.day <= 12 else f'{at:%d/%m/%Y}'},{at:%H:%M},{c}"
        ),
        shuffled,
    )
    assert "day and month" in refusal(text) or "times begin anew" in refusal(text)


def test_rows_of_each_extreme_are_days() -> None:
    text = spelt_days(
        "date,element,value", lambda day, low, high: f"{day},TMAX,{high}\n{day},TMIN,{low}\n{day},PRCP,0.0"
    )
    assert says_days(read(text))
    assert says_days(read(text.replace("TMAX", "Highest").replace("TMIN", "Lowest")))
    assert "is there twice" in refusal(text + f"{DAYS[0][0]},TMIN,-39.0\n")


def test_the_readings_here_cover_both_halves_of_a_month() -> None:
    assert {at.day > 12 for at, _ in FORTY} == {at.day > 12 for at, _ in READINGS} == {True, False}
