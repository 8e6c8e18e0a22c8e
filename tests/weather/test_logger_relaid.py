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
