"""Growers' dates of tests/data/practice, and the days between such dates and the engine's."""

from __future__ import annotations

import csv
import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from season_engine.site import day_number

FOLDER = Path(__file__).parents[1] / "data" / "practice"
YEAR_DAYS = 365
NO_LEAP_YEAR = 2001
ENDS_LEFT_OUT: dict[str, tuple[str, ...]] = {
    "": (),
    "opens": ("opens",),
    "closes": ("closes",),
    "both": ("opens", "closes", "comes"),
}


@dataclass(frozen=True)
class Row:
    """A line of a table: when a job is done, or a stage comes, in one climate. Dates are MM-DD."""

    job: str
    window: str
    species: str
    climate: str
    opens: str
    closes: str
    certainty: int  # in a hundred, as its writers gave it
    reason: str
    ends_left_out: tuple[str, ...]
    left_out: str  # why

    @property
    def length_days(self) -> int:
        """From its first date to its last, over the year's end where that comes between."""
        return (day_of_year(self.closes) - day_of_year(self.opens)) % YEAR_DAYS

    @property
    def middle(self) -> str:
        """The date halfway, the earlier of two."""
        halfway = (day_of_year(self.opens) + self.length_days // 2) % YEAR_DAYS
        return f"{dt.date(NO_LEAP_YEAR, 1, 1) + dt.timedelta(days=halfway):%m-%d}"


def practice_rows() -> list[Row]:
    """Every row of both tables, those that are left out of the count too."""
    rows: list[Row] = []
    for name in ("practice.csv", "mild-south.csv"):
        with (FOLDER / name).open(encoding="utf-8", newline="") as file:
            rows += map(_row, csv.DictReader(file))
    return rows


def _row(line: dict[str, str]) -> Row:
    return Row(
        *(line["job"], line["window"], line["species"], line["climate"], line["opens"], line["closes"]),
        certainty=int(line["certainty"]),
        reason=line["reason"],
        ends_left_out=ENDS_LEFT_OUT[line["left_out_ends"]],
        left_out=line["left_out"],
    )


def day_of_year(month_day: str) -> int:
    """Days since 1 January of a date MM-DD, in a year without a leap day."""
    return dt.date.fromisoformat(f"{NO_LEAP_YEAR}-{month_day}").timetuple().tm_yday - 1


def days_after(found: dt.date, month_day: str) -> int:
    """Days from a date MM-DD to one found, by the year that brings them nearer; below 0: it is earlier."""
    apart = (day_number(found) - day_of_year(month_day)) % YEAR_DAYS
    return apart if apart <= YEAR_DAYS // 2 else apart - YEAR_DAYS


def days_between(first: dt.date, last: dt.date) -> int:
    """Days from one date to another, leap days left out as in the engine's calendar."""
    return day_number(last) - day_number(first)
