"""Quantities with their units, and dates, as the core states them; how they are said is `words`' business."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Degrees:
    """A temperature [degC], or a difference of two, to so many decimals, or as many as it has."""

    value_c: float
    decimals: int | None = None
    apart: bool = False


@dataclass(frozen=True, slots=True)
class DegreesRange:
    """From one temperature, or one difference, to a higher one."""

    low: Degrees
    high: Degrees


@dataclass(frozen=True, slots=True)
class Extremes:
    """A day's lowest and highest temperature [degC], or two differences."""

    low_c: float
    high_c: float
    apart: bool = False


@dataclass(frozen=True, slots=True)
class DegreeDays:
    """A sum of heat [degree days C] that is told with its unit."""

    value: float


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of heat or chill; its unit, such as degree days, stands beside it."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Day:
    """A date, and how much of it is told: its weekday, its year, the month's whole name."""

    date: dt.date
    weekday: bool = False
    year: bool = False
    whole: bool = False
