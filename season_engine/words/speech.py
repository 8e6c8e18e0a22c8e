"""How things are said: texts in English, their translations (gettext), and quantities in either unit.

`speaking` sets language and units for all that is said inside it; `say` makes a text of a template and
values, `said` tells a text that holds its own. What somebody wrote stays as it is.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from typing import Any

from season_engine.facts import (
    DEGREE_F,
    Day,
    DegreeDays,
    Degrees,
    DegreesRange,
    Extremes,
    HeatUnit,
    Month,
    Sum,
    Text,
    Units,
)
from season_engine.locale import DOMAIN, ENGLISH, LOCALE

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_TWO_STOPS = re.compile(r"(?<=\w)\.\.(?=\s|$)")  # of a date that ends in one, at a sentence's end
Quantity = Degrees | DegreesRange | Extremes | DegreeDays | Day | Month


@dataclass(frozen=True, slots=True)
class Speech:
    """How things are said: in which language and units, and whether degrees have their sign or ``degC``."""

    language: str = ENGLISH
    units: Units = "degC"
    sign: bool = True


AT_FIRST = Speech()
_speech: ContextVar[Speech] = ContextVar("speech", default=AT_FIRST)


@contextmanager
def speaking(language: str, units: Units = "degC", *, sign: bool = True) -> Iterator[None]:
    """Say everything in this language, one of `languages`, and these units, until the end of the block."""
    before = _speech.set(Speech(language, units, sign))
    try:
        yield
    finally:
        _speech.reset(before)


def for_programs(units: Units) -> AbstractContextManager[None]:
    """Say everything as JSON has it: in English, with ``degC`` or ``degF`` spelt out."""
    return speaking(ENGLISH, units, sign=False)


def language() -> str:
    """The language that is spoken, as HTML names it."""
    return _speech.get().language


def units() -> Units:
    """The units that are spoken."""
    return _speech.get().units


@cache
def _catalogue(name: str) -> gettext.NullTranslations:
    return gettext.translation(DOMAIN, LOCALE, [name], fallback=name == ENGLISH)


def quantity(value: Quantity) -> str:
    """A quantity with its unit as it is said: ``7 °C``, ``3 to 5 °C``, ``1,250 degree days``, ``11 Aug``."""
    match value:
        case Degrees():
            return f"{decimal(_digits(value))} {_degree_sign()}"
        case DegreesRange(low, high):
            return say("{low} to {high}", low=decimal(_digits(low)), high=quantity(high))
        case Extremes(low_c, high_c, apart):
            return f"{decimal(_digits(Degrees(low_c, 1, apart)))} / {quantity(Degrees(high_c, 1, apart))}"
        case DegreeDays(days):
            return say(
                "{sum} degree days", sum=decimal(f"{days * (DEGREE_F if _fahrenheit() else 1.0):,.0f}")
            )
        case Day():
            return _day(value)
        case Month():
            return _month(value)


def _fahrenheit() -> bool:
    return units() == "degF"


def _degree_sign() -> str:
    return units().replace("deg", "°") if _speech.get().sign else units()


def _digits(degrees: Degrees) -> str:
    """The number alone; a difference has no offset in Fahrenheit."""
    value = degrees.value_c
    if _fahrenheit():
        value = value * DEGREE_F + 32.0 * (not degrees.apart)
    places = degrees.decimals
    if places is None:
        places = len(f"{degrees.value_c:g}".partition(".")[2])
    return f"{round(value, places) + 0.0:.{places}f}"


def _day(day: Day) -> str:
    if language() != ENGLISH:
        from babel.dates import format_skeleton

        skeleton = f"{'y' * day.year}MMM{'M' * day.whole}{'E' * day.weekday}d"
        return str(format_skeleton(skeleton, day.date, locale=language()))
    weekday = f"{_WEEKDAYS[day.date.weekday()]} " if day.weekday else ""
    year = f" {day.date.year}" if day.year else ""
    month = f"{day.date:%B}" if day.whole else _MONTHS[day.date.month - 1]
    return f"{weekday}{day.date.day} {month}{year}"


def _month(month: Month) -> str:
    if language() != ENGLISH:
        from babel.dates import format_date, format_skeleton

        if month.year:
            return str(format_skeleton("yMMMM", month.date, locale=language()))
        return str(format_date(month.date, "LLL" if month.short else "LLLL", locale=language()))
    if month.short:
        return _MONTHS[month.date.month - 1]
    return f"{month.date:%B}{f' {month.date.year}' if month.year else ''}"


def summed(value: Sum) -> float:
    """The number of a sum where temperatures are read in the units that are spoken."""
    heat = isinstance(value.unit, HeatUnit)
    return value.value * DEGREE_F if _fahrenheit() and heat else value.value


class _Number(float):
    """A number as the language that is spoken writes it."""

    def __format__(self, spec: str) -> str:
        return decimal(format(float(self), spec or "g"))


def _value(value: Any) -> Any:
    """A value of a text as it is said."""
    match value:
        case Text():
            return said(value)
        case Degrees() | DegreesRange() | Extremes() | DegreeDays() | Day() | Month():
            return quantity(value)
        case Sum():
            return _number(summed(value))
        case float():
            return _number(value)
    return value


def _number(value: float) -> float:
    return value if language() == ENGLISH else _Number(value)


def decimal(number: str) -> str:
    """A number in digits, as English writes it, with the marks of the language that is spoken."""
    if language() == ENGLISH:
        return number
    from babel.numbers import get_decimal_symbol, get_group_symbol

    marks = {".": get_decimal_symbol(language()), ",": get_group_symbol(language())}
    return "".join(marks.get(c, c) for c in number)


def said(text: str | Text) -> str:
    """A text in the language and units that are spoken; what is a string stays as it was written."""
    return text if isinstance(text, str) else _filled(_looked_up(text), text.values)


def say(text: str | Text, /, **values: Any) -> str:
    """A text in the language that is spoken, its values put in."""
    text = Text(text) if isinstance(text, str) else text
    return _filled(_looked_up(text), values.items())


def say_count(one: str, many: str, n: int, /, **values: Any) -> str:
    """The text for one or for many, in the language that is spoken; both may name ``{n}``."""
    known = language() != ENGLISH
    found = _catalogue(language()).ngettext(one, many, n) if known else one if n == 1 else many
    return _filled(found, {"n": n, **values}.items())


def _looked_up(text: Text) -> str:
    if language() == ENGLISH or not text:
        return text.template
    words = _catalogue(language())
    return words.pgettext(text.context, text.template) if text.context else words.gettext(text.template)


def _filled(found: str, values: Iterable[tuple[str, Any]]) -> str:
    """A text with its values put in; one without values may hold any character."""
    if told := {name: _value(value) for name, value in values}:
        found = found.format(**told)
    return found if language() == ENGLISH else _TWO_STOPS.sub(".", found)
