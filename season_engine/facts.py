"""Quantities with their units, dates, and texts that hold them; how they are said is `words`' business."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Units = Literal["degC", "degF"]  # that temperatures are read and told in
Progress = Callable[[int, int], object]  # told how much of a long piece of work is done, of how much

DEGREE_F = 1.8  # a degree Celsius in degrees Fahrenheit


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
class HeatUnit:
    """Growing degree days: each day's warmth above a base, its mean capped where there is a cap [degC]."""

    base_c: float
    upper_c: float | None = None

    def __str__(self) -> str:
        """As the catalogue and programs write it."""
        capped = "" if self.upper_c is None else f" capped at {self.upper_c:g} degC"
        return f"growing degree days above {self.base_c:g} degC{capped}"


Unit = HeatUnit | str  # any other goes by its name: "degC", "days"
CHILL_PORTIONS = "chill portions"


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of heat or chill; its unit, such as degree days, stands beside it."""

    value: float
    unit: Unit


@dataclass(frozen=True, slots=True)
class Day:
    """A date, and how much of it is told: its weekday, its year, the month's whole name."""

    date: dt.date
    weekday: bool = False
    year: bool = False
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Month:
    """The month of a date, and its year where that is told; `short`: its name alone, as an axis has it."""

    date: dt.date
    year: bool = False
    short: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """A text in English: its quantities stand in braces, each by its name in `values`.

    `context` tells it from the same words meant otherwise.
    """

    template: str = ""
    values: tuple[tuple[str, Degrees | DegreesRange | DegreeDays], ...] = ()
    context: str = ""

    def __bool__(self) -> bool:
        return bool(self.template)

    def __str__(self) -> str:
        """As it is written, for whoever reads the code's own output; a reader is told by `words`."""
        return self.template


NO_TEXT = Text()
