"""Reading the dates and times of a logger file, without guessing which number is the month."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served
from season_engine.files.problems import Problems
from season_engine.files.text import shortened

DAY_SECONDS = 86_400
LONGEST_STAMP = 60  # characters of a date or a time
LONGEST_ZONE = 20
MINUTES_PER_DEGREE = 4.0  # the sun crosses 15 degrees of longitude an hour
FORMAT_HINT = 'Set date_format under [site.weather], such as "%d/%m/%Y" (day first) or "%m/%d/%Y".'

Reader = Callable[[str], int]

_EPOCH = dt.date(1970, 1, 1).toordinal()
_FORMAT_CLOCK_STARTS = re.compile(r"[T ]\s*(?=%[HITRX])")
_NUMBERS = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})")
_COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)")
_ZONE = re.compile(r"\s*(?:Z|(?:UTC|GMT)?[+-]\d\d?(?::?\d\d)?|UTC|GMT)$")
_OFFSET = re.compile(r"([+-])(\d\d?):?(\d\d)?$")
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)(?::(\d\d)(?:[.,]\d+)?)?\s*([AaPp]\.?[Mm]\.?)?")


@dataclass(frozen=True)
class Clock:
    """How a file's times are to be read."""

    date_format: str | None = None  # as for `strptime`
    zone: str | None = None  # of all times: "UTC", "GMT+12:00"
    longitude_deg: float | None = (
        None  # of the yard, east positive: whose solar time zoned times are taken to
    )
    dates_only: bool = False  # a daily file: the time of day, and its zone, say nothing about the day meant


def parse_stamps(
    columns: list[list[str]], lines: Sequence[int], field: str, clock: Clock, problems: Problems
) -> NDArray[np.int64]:
    """Seconds since 1970 on the logger's own clock, shape (rows,); what can't be read goes to `problems`.

    `columns` are one of dates with their times, or one of dates and one of times. Years come first
    (2026-03-31, 2026/03/31, 20260331) or last with day and month in either order, which some date in the file
    must settle unless `clock` gives the format. Times that name their zone (or whose header does) come out in
    the solar time of the yard, to the minute.
    """
    iso = len(columns) == 1 and clock.date_format is None and clock.zone is None
    if iso and (quick := _plain_iso(columns[0])) is not None:
        return quick
    dates, times = columns if len(columns) > 1 else _halves(columns[0])
    if clock.date_format is None:
        read_date, read_clock = _readers_from(dates, lines, field, problems)
    else:
        read_date, read_clock = _readers_for(clock.date_format)
    zones = {text: _zone_of(text) or clock.zone for text in set(times)}
    date_seconds = _read_distinct(dates, read_date, lines, field, problems)
    clock_seconds = _read_distinct(times, read_clock, lines, field, problems)
    problems.raise_if_any()
    if any(zones.values()) and not clock.dates_only:
        wrong = {}
        for text, zone in zones.items():
            try:
                clock_seconds[text] += _to_yard_seconds(text.strip(), zone, clock.longitude_deg)
            except ValueError as error:
                wrong[text] = error
        _add_first(wrong, times, lines, field, problems)
    days = np.fromiter(map(date_seconds.__getitem__, dates), np.int64, len(lines))
    return days + np.fromiter(map(clock_seconds.__getitem__, times), np.int64, len(lines))


def _add_first(
    wrong: dict[str, ValueError], texts: list[str], lines: Sequence[int], field: str, problems: Problems
) -> None:
    """Name the first place that is wrong: what ails one time ails them all."""
    for line, text in zip(lines, texts, strict=True) if wrong else ():
        if text in wrong:
            problems.add(line, field, *wrong[text].args)
            problems.raise_if_any()


def _zone_of(time: str) -> str | None:
    zone = _ZONE.search(time[-LONGEST_ZONE:])
    return zone[0].strip() if zone else None


def _to_yard_seconds(time: str, zone: str | None, longitude_deg: float | None) -> int:
    """What takes a time of day from its zone to the solar time of the yard."""
    if zone is None:
        raise ValueError(f'the time "{time}" names no time zone, and others do.')
    if longitude_deg is None:
        raise ValueError(f'the time "{time}" names a time zone.', "Export the file in local clock time.")
    ahead = _OFFSET.search(zone)
    minutes = 0
    if ahead:
        minutes = int(ahead[2]) * 60 + int(ahead[3] or 0)
        minutes = -minutes if ahead[1] == "-" else minutes
    return (round(longitude_deg * MINUTES_PER_DEGREE) - minutes) * 60


def _plain_iso(texts: list[str]) -> NDArray[np.int64] | None:
    """Seconds where every text is 2026-03-31, 2026-03-31 06:00 or 2026-03-31 06:00:00; else None."""
    length = len(texts[0])
    if length not in (10, 16, 19) or any(len(text) != length for text in texts):
        return None
    pattern = np.array(list("0000-00-00 00:00:00"[:length])).view(np.uint32)
    letters = np.array(texts).view(np.uint32).reshape(-1, length)
    digits = pattern == ord("0")
    in_place = (letters[:, ~digits] == pattern[~digits]).all()
    if not in_place or (letters[:, digits] < ord("0")).any() or (letters[:, digits] > ord("9")).any():
        return None
    try:
        stamps = np.array(texts, dtype="datetime64[s]")
    except ValueError:  # no such day or time: the slow way names it
        return None
    span = stamps.min().item().year, stamps.max().item().year
    return stamps.astype(np.int64) if all(map(year_served, span)) else None


def _halves(texts: list[str]) -> tuple[list[str], list[str]]:
    """Dates and times of day: the time starts after the last blank, or T, before the first colon."""
    dates, times = [], []
    for text in texts:
        colon = text.find(":")
        cut = max(text.rfind(" ", 0, colon), text.rfind("T", 0, colon)) if colon > 0 else -1
        dates.append(text if cut < 0 else text[:cut])
        times.append("" if cut < 0 else text[cut + 1 :])
    return dates, times


def _read_distinct(
    texts: list[str], read: Reader, lines: Sequence[int], field: str, problems: Problems
) -> dict[str, int]:
    """Read each different text once; a record of a million times has few different dates and clock times."""
    results: dict[str, int] = {}
    wrong: dict[str, ValueError] = {}
    for text in set(texts):
        if len(text) > LONGEST_STAMP:
            wrong[text] = ValueError(f'"{shortened(text)}" is too long for a date or a time.')
            continue
        try:
            results[text] = read(_ZONE.sub("", text.strip()) if ":" in text else text.strip())
        except ValueError as error:
            wrong[text] = error
    if wrong:
        for line, text in zip(lines, texts, strict=True):
            if text in wrong:
                problems.add(line, field, *wrong[text].args)
    return results


def _seconds(year: int, month: int, day: int, text: str) -> int:
    try:
        date = dt.date(year, month, day)
    except ValueError as error:
        raise ValueError(f'"{text}" is not a date in the calendar.') from error
    if not year_served(year):
        raise ValueError(f'"{text}" lies outside the years {FIRST_YEAR} to {LAST_YEAR}.')
    return (date.toordinal() - _EPOCH) * DAY_SECONDS


def _readers_from(
    dates: list[str], lines: Sequence[int], field: str, problems: Problems
) -> tuple[Reader, Reader]:
    """Settle from all dates of the file whether the day or the month comes first, and read accordingly."""
    first_at: dict[str, int] = {}
    for date, line in zip(dates, lines, strict=True):
        first_at.setdefault(date, line)
    local = [
        (int(match[1]), int(match[3]), text)
        for text in first_at
        if (match := _NUMBERS.fullmatch(text)) and len(match[1]) <= 2 and len(match[4]) == 4
    ]
    day_first = next((text for a, b, text in local if a > 12 >= b), None)
    month_first = next((text for a, b, text in local if b > 12 >= a), None)
    if day_first and month_first:
        problems.add(
            first_at[month_first],
            field,
            f'"{month_first}" has the month first, "{day_first}" (line {first_at[day_first]}) the day.',
        )
        problems.raise_if_any()
    if local and not day_first and not month_first:
        text = local[0][2]
        problem = f'"{text}" may have the day or the month first, and no date in the file settles which.'
        problems.add(first_at[text], field, problem, FORMAT_HINT)
        problems.raise_if_any()
    return lambda text: _date_seconds(text, day_first=day_first is not None), _clock_seconds


def _date_seconds(text: str, *, day_first: bool) -> int:
    if match := _COMPACT.fullmatch(text):
        return _seconds(int(match[1]), int(match[2]), int(match[3]), text)
    match = _NUMBERS.fullmatch(text)
    if match is None or (len(match[1]) != 4 and len(match[4]) != 4):
        raise ValueError(f'"{text}" is not a date I can read.' if text else "no date.", FORMAT_HINT)
    a, b, c = int(match[1]), int(match[3]), int(match[4])
    if len(match[1]) == 4:
        return _seconds(a, b, c, text)
    return _seconds(c, b, a, text) if day_first else _seconds(c, a, b, text)


def _clock_seconds(text: str) -> int:
    """Seconds since midnight; 24:00 is the next midnight; a day without a time starts at midnight."""
    if not text:
        return 0
    match = _CLOCK.fullmatch(text)
    if match is None:
        raise ValueError(f'"{text}" is not a time of day I can read.')
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    if match[4]:
        if not 1 <= hour <= 12:
            raise ValueError(f'"{text}" is not a time of day.')
        hour = hour % 12 + (12 if match[4][0] in "Pp" else 0)
    if minute > 59 or second > 59 or (hour, minute, second) > (24, 0, 0):
        raise ValueError(f'"{text}" is not a time of day.')
    return hour * 3600 + minute * 60 + second


def _readers_for(date_format: str) -> tuple[Reader, Reader]:
    """Readers of the date and of the time of day for one `strptime` format; its time part may be left out."""
    date_part, *clock_parts = _FORMAT_CLOCK_STARTS.split(date_format, maxsplit=1)

    def read_date(text: str) -> int:
        moment = _strptime(text, date_part.strip(), date_format)
        return _seconds(moment.year, moment.month, moment.day, text) + _since_midnight(moment)

    def read_clock(text: str) -> int:
        return _since_midnight(_strptime(text, clock_parts[0].strip(), date_format))

    return read_date, read_clock if clock_parts else _clock_seconds


def _since_midnight(moment: dt.datetime) -> int:
    return moment.hour * 3600 + moment.minute * 60 + moment.second


def _strptime(text: str, part: str, date_format: str) -> dt.datetime:
    try:
        return dt.datetime.strptime(text, part)
    except ValueError as error:
        raise ValueError(f'"{text}" does not fit the date_format "{date_format}".') from error
