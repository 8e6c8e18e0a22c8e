"""What is printed in the reader's language: texts in English, and their translations (gettext).

`say` makes a text at once. A `Message` is made below the report, is its English text for whoever reads it as
a string, such as JSON, and is translated where it is printed, by `said`.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, Self

from season_engine.facts import (
    DEGREE_F,
    Day,
    DegreeDays,
    Degrees,
    DegreesRange,
    Extremes,
    HeatUnit,
    Sum,
    Text,
)

Units = Literal["degC", "degF"]

ENGLISH = "en"
DOMAIN = "season_engine"
LOCALE = Path(__file__).parent / "locale"

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_TWO_STOPS = re.compile(r"(?<=\w)\.\.(?=\s|$)")  # of a date that ends in one, at a sentence's end
Quantity = Degrees | DegreesRange | Extremes | DegreeDays | Day


@dataclass(frozen=True, slots=True)
class Speech:
    """How things are said: in which language and units, and whether degrees have their sign or ``degC``."""

    language: str = ENGLISH
    units: Units = "degC"
    sign: bool = True


AT_FIRST = Speech()
IN_THE_CODE = Speech(sign=False)  # as a message stands in the code, whoever reads it
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


def languages() -> tuple[str, ...]:
    """English, and those there is a catalogue for."""
    return (ENGLISH, *sorted(path.parent.name for path in LOCALE.glob("*/LC_MESSAGES")))


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


def summed(value: Sum) -> float:
    """The number of a sum where temperatures are read in the units that are spoken."""
    heat = isinstance(value.unit, HeatUnit)
    return value.value * DEGREE_F if _fahrenheit() and heat else value.value


class Message(str):
    """A text that is its English self, and can be said in another language.

    `template` names its values in braces. Numbers are said as the language writes them, and values that are
    messages are translated in their turn. A `Message` without values may hold any character.
    """

    template: str
    values: Mapping[str, Any]
    many: str  # the template for other counts than one
    of: int  # the count itself
    context: str

    def __new__(cls, template: str = "", /, **values: Any) -> Self:
        """A text, its values put in."""
        return cls._made(template, values)

    @classmethod
    def _made(cls, template: str, values: Mapping[str, Any], **more: Any) -> Self:
        told = {"many": "", "of": 1, "context": "", **more}
        text = told["many"] if told["many"] and told["of"] != 1 else template
        if values:
            before = _speech.set(IN_THE_CODE)
            try:
                text = text.format(**{name: _value(value) for name, value in values.items()})
            finally:
                _speech.reset(before)
        self = super().__new__(cls, text)
        self.__dict__.update(template=template, values=values, **told)
        return self

    @classmethod
    def of_count(cls, one: str, many: str, n: int, /, **values: Any) -> Self:
        """One text for a count of one, another for others; both may name ``{n}``."""
        return cls._made(one, {"n": n, **values}, many=many, of=n)

    @classmethod
    def named(cls, context: str, text: str) -> Self:
        """A word that may mean something else elsewhere."""
        return cls._made(text, {}, context=context)

    def said(self) -> str:
        """In the language and the units that are spoken."""
        english = language() == ENGLISH
        found = self._in_english() if english else self._translated()
        if self.values:
            found = found.format(**{name: _value(value) for name, value in self.values.items()})
        if english:
            return found
        return _TWO_STOPS.sub(".", found)

    def _in_english(self) -> str:
        return self.many if self.many and self.of != 1 else self.template

    def _translated(self) -> str:
        words = _catalogue(language())
        if self.many:
            return words.ngettext(self.template, self.many, self.of)
        if self.context:
            return words.pgettext(self.context, self.template)
        return words.gettext(self.template) if self.template else ""


class _Number(float):
    """A number as the language that is spoken writes it."""

    def __format__(self, spec: str) -> str:
        return decimal(format(float(self), spec or "g"))


def _value(value: Any) -> Any:
    """A value of a text as it is said."""
    match value:
        case Message() | Text():
            return said(value)
        case Degrees() | DegreesRange() | Extremes() | DegreeDays() | Day():
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
    """A message or a text of the catalogue in the language and units that are spoken; else as it is."""
    if isinstance(text, Text):
        return say(text.template, **dict(text.values))
    return text.said() if isinstance(text, Message) else text


def say(template: str, /, **values: Any) -> str:
    """A text in the language that is spoken, its values put in."""
    return said(Message(template, **values))


def say_count(one: str, many: str, n: int, /, **values: Any) -> str:
    """The text for one or for many, in the language that is spoken; both may name ``{n}``."""
    return said(Message.of_count(one, many, n, **values))
