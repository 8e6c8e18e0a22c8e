"""Year, month, day and time in columns that nothing names, told by how they follow on from row to row."""

from __future__ import annotations

import datetime as dt
import itertools
import re
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from season_engine.weather.logger.kinds import Kinds
from season_engine.weather.logger.layout import YEAR
from season_engine.weather.logger.order import IntArray

_WHOLE = re.compile(r"\d{1,4}")
_LIMITS = {"month": (1, 12), "day": (1, 31), "doy": (1, 366), "hour": (0, 24), "minute": (0, 59)}
# Places beside the year's, in the orders in which dates are written
_ORDERS = (
    {"doy": 1},
    {"month": 1, "day": 2},
    {"month": -1, "day": -2},
    {"month": -2, "day": -1},
    {"doy": -1},
)
_FEWEST_STEPS = 2
_ON, _RISING = 0.9, 0.97  # shares of steps from one day to the next, and of steps forward in time


def nameless_parts(kinds: Kinds) -> dict[str, int]:
    """The columns that say when each row was read; empty where they can be told in no way, or in several."""
    widths = Counter(map(len, kinds.rows))
    usual = widths.most_common(1)[0][0]
    rows = [[cell.strip().strip("\"'") for cell in row] for row in kinds.rows if len(row) == usual]
    found = []
    for year in range(usual):
        if all(YEAR.fullmatch(row[year]) for row in rows):
            found += [parts for parts in _dates(rows, year) if parts]
            break
    whole = [date | time for date in found if (time := _time(rows, date)) is not None]
    return whole[0] if len(whole) == 1 else {}


def _dates(rows: Sequence[Sequence[str]], year: int) -> Iterator[dict[str, int]]:
    """Ways to read a year and the columns beside it as days that follow one another."""
    for order in _ORDERS:
        parts = {"year": year} | {role: year + step for role, step in order.items()}
        if min(parts.values()) < 0 or max(parts.values()) >= len(rows[0]):
            continue
        days = _days(rows, parts)
        if days is None:
            continue
        steps = np.diff(days)
        moved = steps[steps != 0]
        if moved.size >= _FEWEST_STEPS and np.mean(moved == 1) >= _ON:
            yield parts


def _numbers(rows: Sequence[Sequence[str]], at: int, role: str) -> list[int] | None:
    """A column's numbers; None where one of them can't be of that role."""
    texts = [row[at] for row in rows]
    if not all(map(_WHOLE.fullmatch, texts)):
        return None
    numbers = [int(text) for text in texts]
    least, most = _LIMITS.get(role, (0, 9999))
    return numbers if least <= min(numbers) and max(numbers) <= most else None


def _days(rows: Sequence[Sequence[str]], parts: dict[str, int]) -> IntArray | None:
    columns = {role: _numbers(rows, at, role) for role, at in parts.items()}
    if any(numbers is None for numbers in columns.values()):
        return None
    cells = zip(*(numbers or () for numbers in columns.values()), strict=True)
    try:
        return np.array([_day(dict(zip(columns, one, strict=True))) for one in cells])
    except ValueError:
        return None


def _day(parts: dict[str, int]) -> int:
    if "doy" in parts:
        return dt.date(parts["year"], 1, 1).toordinal() + parts["doy"] - 1
    return dt.date(parts["year"], parts["month"], parts["day"]).toordinal()


def _time(rows: Sequence[Sequence[str]], date: dict[str, int]) -> dict[str, int] | None:
    """The columns behind a date with which each row is later than the last; None: none do."""
    days = _days(rows, date)
    assert days is not None
    first = max(date.values()) + 1
    if _rises(days):
        return {}
    if first >= len(rows[0]):
        return None
    for roles in (("hhmm",), ("hour",), ("hour", "minute")):
        places = dict(zip(roles, itertools.count(first), strict=False))
        if max(places.values()) >= len(rows[0]):
            continue
        minutes = _minutes(rows, places)
        if minutes is not None and _rises(days * 1440 + minutes):
            return places | _full_hours(rows, places)
    return None


def _minutes(rows: Sequence[Sequence[str]], places: dict[str, int]) -> IntArray | None:
    columns = {role: _numbers(rows, at, role) for role, at in places.items()}
    if any(numbers is None for numbers in columns.values()):
        return None
    numbers = {role: np.array(column) for role, column in columns.items()}
    if "hhmm" in numbers:
        hhmm = numbers["hhmm"]
        if not 100 <= hhmm.max() <= 2400 or (hhmm % 100 > 59).any():
            return None
        return np.asarray(hhmm // 100 * 60 + hhmm % 100)
    return np.asarray(numbers["hour"] * 60 + numbers.get("minute", 0))


def _full_hours(rows: Sequence[Sequence[str]], places: dict[str, int]) -> dict[str, int]:
    """A column of minutes behind one of hours that is always the same, as in a record by the hour."""
    at = places.get("hour", -1) + 1
    if at < 1 or "minute" in places or at >= len(rows[0]):
        return {}
    texts = {row[at] for row in rows}
    same = len(texts) == 1 and _numbers(rows, at, "minute") is not None
    return {"minute": at} if same else {}


def _rises(values: IntArray) -> bool:
    return bool(np.mean(np.diff(values) > 0) >= _RISING)
