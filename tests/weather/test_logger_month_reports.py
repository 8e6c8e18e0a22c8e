"""Text reports of a month a file: the day's number on the line, month and year above, totals at the foot."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Callable, Iterator

import numpy as np
import pytest

from season_engine.errors import GrowerError
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.reading import LoggerRecord, record_of
from tests.weather.readings_made import DAYS, YARD, Day, fahrenheit, says_days

BARS = (
    "  Day |   Low F    at  |  High F    at  |   Avg F\n  ----+----------------+----------------+---------\n",
    lambda day, low, high: f"{day:5} | {low:>7} {'5:40':>6} | {high:>7}  14:55 | {high:>7}",
    "  ----+----------------+----------------+---------\n  All |    {0}  on  1 |    {1}  on 14 |    {1}\n",
)
BLANKS = (
    "  Temperature in F, rain in inches. From midnight.\n\n"
    "  Day    High   Time     Low   Time    Rain\n  ----\n",
    lambda day, low, high: f"{day:5} {high:>7} {'2:31p':>6} {low:>7}   5:24a    0.00",
    "  ----\n        {1}         {0}          3.86\n\n  Highest: {1} on day 20      Lowest: {0} on day 3\n",
)
Style = tuple[str, Callable[[int, str, str], str], str]


def months() -> Iterator[tuple[dt.date, list[Day]]]:
    for _, days in itertools.groupby(DAYS, key=lambda day: (day[0].year, day[0].month)):
        month = list(days)
        yield month[0][0], month


def files(style: Style, missing: dt.date | None = None) -> list[tuple[str, bytes]]:
    above, spell, below = style
    found = []
    for first, days in months():
        text = f"        Monthly report of the club\n  Month: {first:%B %Y}\n{above}"
        for day, low, high in days:
            cells = ("---", "---") if day == missing else (fahrenheit(low), fahrenheit(high))
            text += spell(day.day, *cells) + "\n"
        foot = fahrenheit(min(low for _, low, _ in days)), fahrenheit(max(high for *_, high in days))
        found.append((f"report_{first:%Y_%m}.txt", (text + below.format(*foot)).encode()))
    return found


def read_all(named: list[tuple[str, bytes]], **how: object) -> LoggerRecord:
    return record_of(named, ReadAs(**how), YARD)  # type: ignore[arg-type]


@pytest.mark.parametrize("style", [BARS, BLANKS])
def test_a_folder_of_reports(style: Style) -> None:
    record = read_all(files(style))
    assert says_days(record) and record.form.units == "degF"
    low = read_all(files(style, missing=DAYS[40][0])).daily.tmin_c
    assert np.flatnonzero(np.isnan(low)).tolist() == [40]


@pytest.mark.parametrize("style", [BARS, BLANKS])
def test_reports_in_one_file(style: Style) -> None:
    assert says_days(read_all([("reports.txt", b"\n".join(text for _, text in files(style)))]))


@pytest.mark.parametrize("style", [BARS, BLANKS])
def test_a_line_that_cannot_be_read_is_named(style: Style) -> None:
    named = files(style)
    name, text = named[3]
    value = fahrenheit(DAYS[95][1]).encode()
    named[3] = name, text.replace(value, value.replace(b".", b".."), 1)
    with pytest.raises(GrowerError, match=r"report_2024_04\.txt.*is not a number"):
        read_all(named)


def test_a_mean_is_no_day_of_the_month() -> None:
    """A line of means that begins like a date: "24.7" is no 24 July."""
    text = "Month: July 2024\n  Day    Min    Max\n"
    days = [(dt.date(2024, 7, day), 10.0 + day / 10, 24.0 + day / 10) for day in range(1, 32)]
    text += "".join(f"{day.day:5} {low:6.1f} {high:6.1f}\n" for day, low, high in days)
    assert says_days(read_all([("july.txt", (text + "        24.7   30.7\n").encode())]), days)
