"""Lines of a logger's file that must never be lost in silence."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import GrowerError
from tests.weather.readings_made import DAYS, READINGS, read, says, says_days, spelt, spelt_days


@pytest.mark.parametrize("years", [2, 3, 4, 5])
def test_a_record_of_years_keeps_its_start(years: int) -> None:
    first = {(day.month, day.day): (low, high) for day, low, high in DAYS}
    count = (dt.date(2020 + years, 1, 1) - dt.date(2020, 1, 1)).days
    days = [dt.date(2020, 1, 1) + dt.timedelta(days=at) for at in range(count)]
    rows = [(day, *first[day.month, day.day]) for day in days]
    text = spelt_days("date,tmin,tmax", lambda day, low, high: f"{day},{low},{high}", rows)
    record = read(text)
    assert says_days(record, rows) and not record.form.left


def test_a_clock_that_began_anew_is_still_left_out() -> None:
    lost = "".join(f"2000-01-01 0{at}:00,8.{at}\n" for at in range(5))
    record = read("time,temp\n" + lost + spelt("", lambda at, value: f"{at},{value}").lstrip())
    assert says(record) and [(one.kind, one.lines) for one in record.form.left] == [("clock lost", 5)]


def test_lines_above_the_first_that_reads_are_refused_where_only_their_date_does_not() -> None:
    text = spelt("time;temp", lambda at, value: f"{at.day}. {_MONTHS[at.day > 9]} 2025 {at:%H:%M};{value}")
    with pytest.raises(GrowerError, match=r"line 2.*is not a date I can read"):
        read(text)


_MONTHS = ("blossommonth", "april")  # the first in no language


@pytest.mark.parametrize("month", ["balandžio", "aprīlis", "квітня", "април", "April", "abril"])
def test_months_of_six_more_languages(month: str) -> None:
    assert says(read(spelt("time;temp", lambda at, value: f"{at.day}. {month} {at:%Y %H:%M};{value}")))


@pytest.mark.parametrize(("before", "after"), [("ص", "م"), ("صباحا", "مساء")])
def test_arabic_halves_of_the_day(before: str, after: str) -> None:
    def spell(at: dt.datetime, value: float) -> str:
        return f"{at:%Y/%m/%d %I:%M} {before if at.hour < 12 else after},{value}"

    assert says(read(spelt("time,temp", spell)))


@pytest.mark.parametrize("count", [4, 24, 27])
def test_numbered_sensors_are_no_hours_of_a_day(count: int) -> None:
    header = "time," + ",".join(f"T{at}" for at in range(1, count + 1))
    text = spelt(header, lambda at, value: f"{at}," + ",".join(f"{value + n / 4:.2f}" for n in range(count)))
    with pytest.raises(GrowerError, match=r"could all be the temp column.*\s.*columns = \{ temp = \"T1\" \}"):
        read(text)
    assert says(read(text, columns={"temp": "T1"})) and says(read(text, sensor="T1"))


@pytest.mark.parametrize("date", ["date", "day"])
def test_more_sensors_than_hours_on_lines_of_a_date_are_no_hours_either(date: str) -> None:
    header = f"{date},time," + ",".join(f"T{at}" for at in range(27))
    text = spelt(header, lambda at, value: f"{at:%Y-%m-%d,%H:%M}," + ",".join([f"{value}"] * 27))
    with pytest.raises(GrowerError, match="could all be the temp column"):
        read(text)


HOURS = [
    ("0000", [f"{hour:02}00" for hour in range(24)]),
    ("0-1", [f"{hour}-{hour + 1}" for hour in range(24)]),
    ("12a", [f"{hour % 12 or 12}{'ap'[hour > 11]}" for hour in range(24)]),
]


@pytest.mark.parametrize("names", [names for _, names in HOURS], ids=[name for name, _ in HOURS])
def test_more_names_of_hours_across(names: list[str]) -> None:
    whole = [(at, value) for at, value in READINGS if at.minute == 0]
    lines = ["date;" + ";".join(names)]
    for first in range(0, len(whole), 24):
        lines.append(
            f"{whole[first][0]:%d.%m.%Y};" + ";".join(f"{value}" for _, value in whole[first : first + 24])
        )
    assert says(read("\n".join(lines)), whole)


@pytest.mark.parametrize("name", ["VALUE{}", "d{:02}", "day {}"])
def test_named_days_across(name: str) -> None:
    year = [row for row in DAYS if row[0].year == 2024]
    lines = ["year,month,element," + ",".join(name.format(day) for day in range(1, 32))]
    for month in range(1, 13):
        for element, at in (("TMAX", 2), ("TMIN", 1)):
            values = [str(row[at]) for row in year if row[0].month == month]
            lines.append(f"2024,{month},{element}," + ",".join(values + [""] * (31 - len(values))))
    assert says_days(read("\n".join(lines)), year)
