"""Stamps of many rows at once: each different text is read once, and what can't be read is kept by row."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.logger.clocks import ClockTime
from season_engine.weather.logger.form import DateForm

IntArray = NDArray[np.int64]
Texts = Mapping[str, Sequence[str]]  # by role: a key of `WHOLE` or of `PARTS`

WHOLE = ("stamp", "epoch", "days")  # one cell says all: a date with its time, a count of seconds, of days
PARTS = (
    "date",
    "clock",
    "half",
    "fraction",
    "year",
    "month",
    "day",
    "doy",
    "hour",
    "minute",
    "second",
    "decimal_hour",
    "hhmm",
)
UNREAD = -(2**62)  # where a row's time can't be read


@dataclass(frozen=True)
class Clock:
    """How a file's times are to be read."""

    date_format: str | None = None  # as for `strptime`
    zone_minutes: int | None = None  # of all times that name none: ahead of Greenwich
    longitude_deg: float | None = None  # of the yard, east positive: zoned times are taken to its solar time
    dates_only: bool = False  # a daily file: the time of day, and its zone, say nothing about the day meant
    told: str = ""  # the header, which may tell the order of the date
    order: str | None = None  # of the dates in other files of the same record


@dataclass
class Stamps:
    """Seconds since 1970 on the clock that days go by, shape (rows,), UNREAD where a row has none."""

    seconds: IntArray
    form: DateForm
    zones: tuple[str, ...] = ()  # zones that stamps name
    zoned: bool = False  # taken from a zone to the yard's solar time
    order: str | None = None  # "ymd", "dmy", "mdy"
    wrong: dict[int, ValueError] = field(default_factory=dict)  # by row, why it can't be read
    swapped: list[int] = field(default_factory=list)  # rows in whose date day and month were changed back


@dataclass
class Read:
    """Stamps before their zone is looked at."""

    stamps: Stamps
    clocks: Sequence[str] = ()  # the time of each row as it stands
    times: dict[str, ClockTime] = field(default_factory=dict)


def each(texts: Sequence[str], read: Callable[[str], int], wrong: dict[str, ValueError]) -> dict[str, int]:
    """Each different text read once; a record of a million times has few different dates and clock times."""
    results: dict[str, int] = {}
    for text in set(texts):
        try:
            results[text] = read(text)
        except ValueError as error:
            results[text], wrong[text] = UNREAD, error
    return results


def laid(texts: Sequence[str], values: Mapping[str, int]) -> IntArray:
    """The value of each row's text, shape (rows,)."""
    return np.fromiter(map(values.__getitem__, texts), np.int64, len(texts))


def rows_of(texts: Sequence[str], wrong: Mapping[str, ValueError]) -> dict[int, ValueError]:
    """What is wrong, by row."""
    return {row: wrong[text] for row, text in enumerate(texts) if text in wrong} if wrong else {}


def together(*arrays: IntArray) -> IntArray:
    """Their sum; UNREAD where one of them is."""
    total = sum(arrays[1:], start=arrays[0].copy())
    unread = np.any([one == UNREAD for one in arrays], axis=0)
    return np.where(unread, UNREAD, total)
