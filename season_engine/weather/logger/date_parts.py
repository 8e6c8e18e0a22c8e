"""Which lines are rows, where year, month and day stand in columns of their own or a format tells dates."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache

from season_engine.files.foreign_values import decimal_number
from season_engine.weather.logger.carried import is_ditto
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import SEPARATORS, Numbered, RowTest, is_rule, reads_as_data
from season_engine.weather.logger.vocabulary import is_month, plain, says, tokens

_RANGES = {
    "year": (0, 2199),
    "month": (1, 12),
    "day": (1, 31),
    "day_of_year": (1, 366),
    "hour": (0, 24),
    "minute": (0, 59),
}
_WHOLE = re.compile(r"\d{1,4}")
_FEWEST_ROWS = 3
_MOSTLY = 0.6
_NO_READING = re.compile(r"[-*?.#/_]+|[^\W\d_]{1,12}")
Parts = Mapping[str, int]  # a column's place by the part of the date or time that it holds


def row_test(lines: Numbered, how: ReadAs) -> RowTest:
    """Whether the cells of a line are those of a reading, by what they hold or where its date stands."""
    if how.date_format is not None:
        fits = date_test(how.date_format)
        return lambda cells: reads_as_data(cells) or _is_dated(cells, fits)
    parts = _given(how) or _named(lines, how)
    if not parts:
        return reads_as_data
    return lambda cells: reads_as_data(cells) or _is_row(cells, parts)


def parts_in(names: Sequence[str]) -> dict[str, int]:
    """The columns that hold parts of dates, by their names; empty where these don't make a date."""
    found: dict[str, int] = {}
    for at, name in enumerate(names):
        for part in ("day_of_year", "year", "month", "day"):
            if part not in found and says(name, part) and not says(name, "other"):
                found[part] = at
                break
    whole = {"month", "day"} <= found.keys() or {"year", "day_of_year"} <= found.keys()
    return found if whole else {}


def _given(how: ReadAs) -> dict[str, int]:
    """Places that the settings tell by number; a count of hours is no part of any test."""
    numbers: dict[str, int] = {
        role: at - 1 for role, at in how.columns.items() if isinstance(at, int) and role in _RANGES
    }
    whole = "day_of_year" in numbers or {"month", "day"} <= numbers.keys()
    return numbers if "year" in numbers and whole else {}


def _named(lines: Numbered, how: ReadAs) -> dict[str, int]:
    """Places by a line that names year, month and day, where most lines below it have such numbers there."""
    told: dict[str, str] = {plain(str(name)): role for role, name in how.columns.items() if role in _RANGES}
    for at, (_, line) in enumerate(lines[:-1]):
        if line.lstrip()[:1].isdigit():  # a reading
            continue
        for separator in (*SEPARATORS, None):
            if separator is not None and separator not in line:
                continue
            names = _split(line, separator)
            parts = {told[plain(name)]: place for place, name in enumerate(names) if plain(name) in told}
            parts = parts if "year" in parts else parts_in(names)
            if parts and _fits(lines[at + 1 :], separator, parts):
                return parts
    return {}


def _split(line: str, separator: str | None) -> list[str]:
    return line.split() if separator is None else [cell.strip(" \"'") for cell in line.split(separator)]


def _fits(below: Numbered, separator: str | None, parts: Parts) -> bool:
    rows = [_split(line, separator) for _, line in below if not is_rule(line)]
    fitting = sum(_is_row(cells, parts) for cells in rows)
    return fitting >= max(_FEWEST_ROWS, _MOSTLY * len(rows))


def _is_row(cells: Sequence[str], parts: Parts) -> bool:
    """Whether these places hold parts of a date, and another one a number or a sign for none."""
    if max(parts.values()) >= len(cells) or not all(
        _holds(cells[at].strip(" \"'"), part) for part, at in parts.items()
    ):
        return False
    others = [cell.strip(" \"'") for at, cell in enumerate(cells) if at > max(parts.values())]
    return any(is_number(cell) for cell in others) or all(map(_NO_READING.fullmatch, filter(None, others)))


def _holds(cell: str, part: str) -> bool:
    if part == "month" and is_month(plain(cell).strip(".")):
        return True
    if part in ("year", "month") and is_ditto(cell):
        return True
    least, most = _RANGES[part]
    if part == "day_of_year" and (number := decimal_number(cell)) is not None:
        return least <= number < most + 1  # perhaps with the share of the day
    return _WHOLE.fullmatch(cell) is not None and least <= int(cell) <= most


def is_minutes_name(name: str) -> bool:
    """Whether a column behind one of hours may hold minutes by its name; "min" stands for the lowest, too."""
    return tokens(name) in (("min",), ("mi",), ("mn",), ("m",), ("mm",)) or (
        says(name, "minute") and not says(name, "temperature", "minimum")
    )


def date_test(date_format: str) -> Callable[[str], bool]:
    """Whether a cell holds a date, or date and time, by a `strptime` format."""
    ways = {date_format, re.split(r"[T ,;]\s*(?=%[HITRX])", date_format, maxsplit=1)[0]}

    @lru_cache(maxsize=1 << 12)
    def fits(cell: str) -> bool:
        for way in ways:
            try:
                dt.datetime.strptime(cell.strip(" \"'"), way)
            except ValueError:
                continue
            return True
        return False

    return fits


def _is_dated(cells: Sequence[str], fits: Callable[[str], bool]) -> bool:
    at = next((at for at, cell in enumerate(cells) if fits(cell)), None)
    return at is not None and any(is_number(cell) for cell in cells[at + 1 :])
