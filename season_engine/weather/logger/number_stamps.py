"""Dates and times that are told by numbers alone: years with days, hours, counts of seconds and of days."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import partial

import numpy as np

from season_engine.files.foreign_values import decimal_number
from season_engine.files.text import shortened
from season_engine.weather.logger.dates import DAY_SECONDS, FORMAT_HINT, midnight
from season_engine.weather.logger.stamp_rows import (
    UNREAD,
    IntArray,
    Stamps,
    Texts,
    each,
    laid,
    rows_of,
    together,
)
from season_engine.weather.logger.vocabulary import months_of, plain

DAYS_FROM, DAYS_TO = 15_000.0, 80_000.0  # spreadsheets' numbers of days, 1941 to 2119
_DAYS_EPOCH = 25_569  # the number of 1 January 1970
_EPOCH_SCALES = {9: 1, 10: 1, 12: 1_000, 13: 1_000, 16: 1_000_000, 19: 1_000_000_000}  # by number of digits
_DAY_MINUTES = 1440
_CENTURY_TURNS = 80  # two-digit years from here on aren't of this century


def calendar_midnights(texts: Texts, wrong: dict[int, ValueError]) -> IntArray:
    """Midnights of years with months and days, or with days of the year."""
    roles = [role for role in ("year", "month", "day", "doy") if role in texts]
    known: dict[tuple[str, ...], int] = {}
    out = np.empty(len(texts["year"]), np.int64)
    for row, cells in enumerate(zip(*(texts[role] for role in roles), strict=True)):
        if cells not in known:
            try:
                known[cells] = _midnight_of(dict(zip(roles, cells, strict=True)))
            except ValueError as error:
                known[cells] = UNREAD
                wrong[row] = error
        elif known[cells] == UNREAD:
            wrong[row] = ValueError(f'"{shortened(" ".join(cells))}" is not a date in the calendar.', "")
        out[row] = known[cells]
    return out


def _midnight_of(cells: dict[str, str]) -> int:
    shown = " ".join(cells.values())
    share = 0
    if (counted := decimal_number(cells.get("doy", "").strip())) is not None and counted != int(counted):
        share = round((counted - int(counted)) * _DAY_MINUTES) * 60
        cells = cells | {"doy": str(int(counted))}
    numbers = {
        role: month_number(text) or _whole(text, shown) if role == "month" else _whole(text, shown)
        for role, text in cells.items()
    }
    year = numbers["year"] + (
        2000 if numbers["year"] < _CENTURY_TURNS else 1900 if numbers["year"] < 100 else 0
    )
    if "doy" in numbers:
        if not 1 <= numbers["doy"] <= 366:
            raise ValueError(f'"{shortened(shown)}" is not a date in the calendar.')
        return midnight(year, 1, 1, shown) + (numbers["doy"] - 1) * DAY_SECONDS + share
    return midnight(year, numbers["month"], numbers["day"], shown)


def month_number(text: str) -> int | None:
    """The number of a month that is written out; None where it isn't, or may be several."""
    name = plain(text).strip(" .\"'")
    meant = {table[name] for table in months_of([name])} if name and not name.isdigit() else set()
    return meant.pop() if len(meant) == 1 else None


_WITH_SECONDS = re.compile(r"(?:[01]\d|2[0-3])[0-5]\d[0-5]\d")  # 134500


def _whole(text: str, shown: str) -> int:
    number = decimal_number(text.strip().strip("\"'"))
    if number is None or number != int(number):
        raise ValueError(
            f'"{shortened(shown)}" is not a date I can read.' if shown.strip() else "no date.", FORMAT_HINT
        )
    return int(number)


def time_of_day(texts: Texts, rows: int, wrong: dict[int, ValueError]) -> IntArray:
    """Seconds since midnight from columns of numbers: hours and minutes, 1230, or shares of a day."""
    total = np.zeros(rows, np.int64)
    for role, seconds in (("hour", 3600), ("minute", 60), ("second", 1)):
        if role in texts:
            faults: dict[str, ValueError] = {}
            most = {"hour": 24, "minute": 59, "second": 59}[role]
            values = each(texts[role], partial(_part, most=most, seconds=seconds), faults)
            wrong |= rows_of(texts[role], faults)
            total = together(total, laid(texts[role], values))
    for role, read in (("hhmm", _hhmm), ("fraction", _fraction), ("decimal_hour", _decimal_hour)):
        if role in texts:
            faults = {}
            values = each(texts[role], read, faults)
            wrong |= rows_of(texts[role], faults)
            total = together(total, laid(texts[role], values))
    return total


def _part(text: str, *, most: int, seconds: int) -> int:
    number = decimal_number(text.strip().rstrip("hH").strip()) if text.strip() else None
    if number is None or number != int(number) or not 0 <= number <= most:
        raise ValueError(f'"{shortened(text)}" is not a time of day.')
    return int(number) * seconds


def _hhmm(text: str) -> int:
    if _WITH_SECONDS.fullmatch(said := text.strip().strip("\"'")):
        return int(said[:2]) * 3600 + int(said[2:4]) * 60 + int(said[4:])
    number = decimal_number(text.strip()) if text.strip() else None
    if number is None or number != int(number) or not 0 <= number <= 2400 or number % 100 > 59:
        raise ValueError(f'"{shortened(text)}" is not a time of day.')
    return int(number) // 100 * 3600 + int(number) % 100 * 60


def _decimal_hour(text: str) -> int:
    number = decimal_number(text) if text.strip() else None
    if number is None or not 0 <= number <= 24:
        raise ValueError(f'"{shortened(text)}" is not a time of day.')
    return round(number * 60) * 60


def _fraction(text: str) -> int:
    number = decimal_number(text) if text.strip() else None
    if number is None or not 0 <= number <= 1:
        raise ValueError(f'"{shortened(text)}" is not a share of a day.')
    return round(number * DAY_SECONDS / 60) * 60


def epochs(texts: Sequence[str]) -> Stamps:
    """From counts of seconds, or of thousandths and less, since 1970 in UTC."""
    faults: dict[str, ValueError] = {}
    values = each(texts, _epoch, faults)
    return Stamps(laid(texts, values), "epoch", wrong=rows_of(texts, faults))


def _epoch(text: str) -> int:
    """Seconds of a count of seconds, or of thousandths and less, since 1970."""
    number = decimal_number(text.strip().strip("\"'"), exponents=True)
    scale = None if number is None or number <= 0 else _EPOCH_SCALES.get(len(str(int(number))))
    if number is None or scale is None:
        raise ValueError(
            f'"{shortened(text)}" is not a count of seconds since 1970.' if text.strip() else "no date."
        )
    return int(number // scale)


def days_number(text: str) -> int:
    """Seconds since 1970 of a spreadsheet's number of days; ValueError for what is none."""
    number = decimal_number(text.strip().strip("\"'"))
    if number is None or not DAYS_FROM <= number <= DAYS_TO:
        raise ValueError(
            f'"{shortened(text)}" is not a date I can read.' if text.strip() else "no date.", FORMAT_HINT
        )
    return round((number - _DAYS_EPOCH) * DAY_SECONDS)
