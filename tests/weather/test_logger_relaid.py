"""Logger exports whose lines are no rows as they stand: days across, pairs in a cell, names before values."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from season_engine.errors import GrowerError
from tests.weather.readings_made import DAYS, READINGS, comma, read, says, says_days, spelt, spelt_days

WHOLE = [(at, value) for at, value in READINGS if at.minute == 0]
DATES = sorted({at.date() for at, _ in WHOLE})


@pytest.mark.parametrize(("form", "mark", "hour"), [("%Y-%m-%d", ",", "{:02}:00"), ("%d.%m.%Y", ";", "{}")])
def test_hours_down_and_days_across(form: str, mark: str, hour: str) -> None:
    spell = comma if mark == ";" else str
    by_time = dict(WHOLE)
    lines = ["Garden", mark.join(["Hour", *(f"{day:{form}}" for day in DATES)])]
    for at in range(24):
        values = [spell(by_time[dt.datetime.combine(day, dt.time(at))]) for day in DATES]
        lines.append(mark.join([hour.format(at), *values]))
    assert says(read("\n".join(lines)), WHOLE)


def test_rows_of_extremes_and_days_across() -> None:
    days = DAYS[:300]
    lines = [
        ",".join(["", *(str(day) for day, _, _ in days)]),
        ",".join(["Max", *(str(high) for _, _, high in days)]),
        ",".join(["Min", *(str(low) for _, low, _ in days)]),
    ]
    assert says_days(read("\n".join(lines)), days)
    lines[2] = lines[2].replace(str(days[7][1]), "4..1", 1)
    with pytest.raises(GrowerError, match=r"\"4\.\.1\" is not a number"):
        read("\n".join(lines))


@pytest.mark.parametrize(
    ("header", "spell"),
    [
        ("date,min/max", lambda day, low, high: f"{day},{low}/{high}"),
        ("Datum;Max / Min;Regen", lambda day, low, high: f"{day:%d.%m.%Y};{comma(high)} / {comma(low)};0"),
        ("date,Temp (min/max)", lambda day, low, high: f"{day},{low} / {high} °C"),
        ("Datum;von Min bis Max", lambda day, low, high: f"{day:%d.%m.%Y};{comma(low)} bis {comma(high)}"),
        ("date\tlowest … highest", lambda day, low, high: f"{day}\t{low} … {high}"),
    ],
)
def test_both_extremes_in_one_cell(header: str, spell: Callable[[dt.date, float, float], str]) -> None:
    assert says_days(read(spelt_days(header, spell)))


def test_a_pair_in_the_other_order_is_refused() -> None:
    text = spelt_days("date,max/min", lambda day, low, high: f"{day},{low}/{high}")
    with pytest.raises(GrowerError):
        read(text)
    late = [(day, low, high) if at < 200 else (day, high, low) for at, (day, low, high) in enumerate(DAYS)]
    with pytest.raises(GrowerError):
        read(spelt_days("date,min/max", lambda day, low, high: f"{day},{low}/{high}", late))


@pytest.mark.parametrize(
    "spell",
    [
        lambda at, value: f"time={at.isoformat()} temp={value} hum=80",
        lambda at, value: f"{at} Temp: {value} C, Hum: 80 %",
        lambda at, value: f"[{at:%Y-%m-%d %H:%M:%S}] temperature={value}; battery=2.9",
    ],
)
def test_a_name_before_each_value(spell: Callable[[dt.datetime, float], str]) -> None:
    text = spelt("logger started", spell)
    assert says(read(text))
    assert says(read(text + "logger stopped\n"))


def test_lines_that_are_quoted_whole() -> None:
    assert says(read(spelt('"time,temp"', lambda at, value: f'"{at},{value}"')))


@pytest.mark.parametrize("code", ["1e20", "-1e+31", "9.96921e+36", "-999.25"])
def test_codes_that_are_no_temperature_of_anything(code: str) -> None:
    text = spelt("time,temp", lambda at, value: f"{at},{value if at.hour != 3 or at.day != 9 else code}")
    rows = [(at, value) for at, value in READINGS if at.hour != 3 or at.day != 9]
    assert says(read(text), rows)


@pytest.mark.parametrize(
    ("header", "spell"),
    [
        ("date,time,temp", lambda at, value: f"{at:%Y%m%d},{at:%H%M%S},{value}"),
        ("time,avg,min,max", lambda at, value: f"{at},{value},{value - 0.4:.1f},{value + 0.4:.1f}"),
        ("date;time;T;°C", lambda at, value: f"{at:%d.%m.%Y};{at:%H:%M};{value};°C"),
        ("received,measured,temp", lambda at, value: f"{at + dt.timedelta(minutes=3)},{at},{value}"),
        ("date,temp", lambda at, value: f"{(at - dt.datetime(1899, 12, 30)) / dt.timedelta(1):.4f},{value}"),
        ("time,temp_mC", lambda at, value: f"{at},{value * 1000:.0f}"),
    ],
)
def test_columns_that_stood_in_one_another_s_way(
    header: str, spell: Callable[[dt.datetime, float], str]
) -> None:
    assert says(read(spelt(header, spell)))


def test_a_month_with_both_extremes_in_the_names_of_its_columns() -> None:
    year = {(day.month, day.day): (low, high) for day, low, high in DAYS if day.year == 2024}
    months = [dt.date(2024, month, 1).strftime("%b") for month in range(1, 13)]
    lines = ["day," + ",".join(f"{name} min,{name} max" for name in months)]
    for day in range(1, 32):
        pairs = [year.get((month, day), ("", "")) for month in range(1, 13)]
        lines.append(f"{day}," + ",".join(f"{low},{high}" for low, high in pairs))
    text = "\n".join(lines)
    assert says_days(read(text, year=2024), [row for row in DAYS if row[0].year == 2024])
    with pytest.raises(GrowerError, match="year = 2024"):
        read(text)


def test_a_code_on_a_day_that_a_month_lacks_is_no_reading() -> None:
    year = [row for row in DAYS if row[0].year == 2024]
    lines = ["year,month,element," + ",".join(f"VALUE{day}" for day in range(1, 32))]
    for month in range(1, 13):
        for element, at in (("TMAX", 2), ("TMIN", 1)):
            values = [f"{row[at] * 10:.0f}" for row in year if row[0].month == month]
            lines.append(f"2024,{month},{element}," + ",".join(values + ["-9999"] * (31 - len(values))))
    assert says_days(read("\n".join(lines), tenths=True), year)
