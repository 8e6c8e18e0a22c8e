"""How a logger's file was read, as facts: what was seen in it, and what was passed over."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from season_engine.facts import Units
from season_engine.site import Hemisphere

LeftKind = Literal[
    "header again",
    "summary",
    "remark",
    "other kind",
    "cut short",
    "no value",
    "code",
    "clock lost",
    "flag",
    "twice",
    "order",
    "swapped",
]
UnitsFrom = Literal["settings", "header", "cells", "about", "nothing"]
ClockFrom = Literal["own", "settings", "stamps", "header", "about"]
DateForm = Literal[
    "year first", "day first", "month first", "day of year", "epoch", "day numbers", "date_format", "grid"
]


@dataclass(frozen=True, slots=True)
class Column:
    """A column that is read."""

    role: str  # "time", "date", "temp", "tmin", "tmax" or "sensor"
    name: str  # as the header spells it; "" where there is none
    number: int  # from 1


@dataclass(frozen=True, slots=True)
class LinesLeft:
    """Lines of one kind that are no reading, or no new one."""

    kind: LeftKind
    lines: int
    first_line: int
    file: str
    text: str = ""  # what stands on the first of them, in short


@dataclass(frozen=True, slots=True)
class LoggerForm:
    """How a logger's file, or files, are read; of several the newest says how."""

    files: tuple[str, ...]  # names, in the order of their readings
    alphabet: str  # "UTF-8", "cp1252"
    separator: str  # "comma", "semicolon", "tab", "bar" or "blanks"
    header_line: int | None  # None: no line names the columns
    header: str  # that line
    columns: tuple[Column, ...]
    units: Units
    units_from: UnitsFrom
    dates: DateForm
    clock_from: ClockFrom  # "own": the clock of the yard
    zone: str | None  # of its times, where that is known
    by_the_sun: bool  # times are taken to the yard's solar time
    sensor: str | None  # which one of several
    sensors_left: tuple[str, ...]  # the others
    hemisphere: Hemisphere | None  # for which the year speaks; None: it can't tell
    first_day: dt.date
    last_day: dt.date
    step_minutes: float | None  # between readings; None: a table of days
    readings: int  # temperatures, or days with both extremes
    left: tuple[LinesLeft, ...] = ()
    on_change: bool = False  # readings are written when the temperature has changed, at no steady times

    def column(self, *roles: str) -> Column | None:
        """The first column of one of these roles."""
        return next((one for one in self.columns if one.role in roles), None)
