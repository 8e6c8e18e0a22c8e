"""A grower's own log of forecasts: `issued,date,tmin,tmax`, one line a day, the issues in any order."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.foreign_values import decimal_number, year_served
from season_engine.files.text import shortened
from season_engine.weather.forecast.days import DayForecast, Issue
from season_engine.weather.forecast.service import COLDEST_C, HOTTEST_C

COLUMNS = ("issued", "date", "tmin", "tmax")


def read_forecast_file(path: Path, units: str) -> tuple[Issue, ...]:
    """Every issue in the file; raises GrowerError, with all faults of its rows at once.

    `units` are "degC" or "degF".
    """
    sheet = Sheet(path, COLUMNS, COLUMNS)
    issues: dict[dt.datetime, dict[dt.date, DayForecast]] = {}
    for row in sheet:
        issued, day = _issued(row), _day(row, units)
        if issued is None or day is None:
            continue
        days = issues.setdefault(issued, {})
        if day.date < issued.date():
            row.fault("date", "This day was over when the forecast was issued.")
        elif day.date in days:
            row.fault("date", "This issue has that day twice.")
        days[day.date] = day
    sheet.finish()
    return tuple(Issue(issued, tuple(days.values())) for issued, days in issues.items())


def _issued(row: Row) -> dt.datetime | None:
    text = row.needed("issued")
    if not text:
        return None
    try:
        issued = dt.datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        issued = dt.datetime.min
    if year_served(issued.year):
        return issued
    problem = f'issued must be a date, with or without a time; got "{shortened(text)}".'
    row.fault("issued", problem, "Write it like 2026-04-13 or 2026-04-13 06:00.")
    return None


def _day(row: Row, units: str) -> DayForecast | None:
    date = row.day("date", whole=True) if row.needed("date") else None
    low, high = (_temperature_c(row, column, units) for column in ("tmin", "tmax"))
    if date is None or low is None or high is None:
        return None
    if low > high:
        row.fault("tmin", "tmin is above tmax.")
    return DayForecast(date, low, high)


def _temperature_c(row: Row, column: str, units: str) -> float | None:
    text = row.needed(column)
    value = decimal_number(text)
    if value is None:
        if text:
            row.fault(column, f'{column} must be a number; got "{shortened(text)}".')
        return None
    value_c = (value - 32) / 1.8 if units == "degF" else value
    if not COLDEST_C <= value_c <= HOTTEST_C:
        row.fault(column, f"{column} is no temperature of the air: {shortened(text)} {units}.")
        return None
    return value_c
