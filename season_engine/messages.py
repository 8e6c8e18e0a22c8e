"""What is printed in the reader's language: texts in English, and their translations (gettext).

`say` makes a text at once. A `Message` is made below the report, is its English text for whoever reads it as
a string, such as JSON, and is translated where it is printed, by `said`.
"""

from __future__ import annotations

import datetime as dt
import gettext
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, Self

Units = Literal["degC", "degF"]

ENGLISH = "en"
DOMAIN = "season_engine"
LOCALE = Path(__file__).parent / "locale"

_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
DEGREE_F = 1.8  # a degree Celsius in degrees Fahrenheit
_TWO_STOPS = re.compile(r"(?<=\w)\.\.(?=\s|$)")  # of a date that ends in one, at a sentence's end

_language: ContextVar[str] = ContextVar("language", default=ENGLISH)


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Say everything in this language, one of `languages`, until the end of the block."""
    before = _language.set(language)
    try:
        yield
    finally:
        _language.reset(before)


def language() -> str:
    """The language that is spoken, as HTML names it."""
    return _language.get()


def languages() -> tuple[str, ...]:
    """English, and those there is a catalogue for."""
    return (ENGLISH, *sorted(path.parent.name for path in LOCALE.glob("*/LC_MESSAGES")))


@cache
def _catalogue(name: str) -> gettext.NullTranslations:
    return gettext.translation(DOMAIN, LOCALE, [name], fallback=name == ENGLISH)


@dataclass(frozen=True, slots=True)
class Degrees:
    """A temperature [degC], or a difference of two, to so many decimals, or as many as it has."""

    value_c: float
    decimals: int | None = None
    apart: bool = False

    def __format__(self, _spec: str) -> str:
        return self.told("degC")

    def told(self, units: Units) -> str:
        """In English: ``7 degC``."""
        return f"{self.digits(units)} {units}"

    def said(self, units: Units) -> str:
        """In the language that is spoken: ``7 °C``."""
        return f"{decimal(self.digits(units))} {units.replace('deg', '°')}"

    def digits(self, units: Units) -> str:
        """The number alone; a difference has no offset in Fahrenheit."""
        value = self.value_c
        if units == "degF":
            value = value * DEGREE_F + 32.0 * (not self.apart)
        places = len(f"{self.value_c:g}".partition(".")[2]) if self.decimals is None else self.decimals
        return f"{round(value, places) + 0.0:.{places}f}"


@dataclass(frozen=True, slots=True)
class DegreesRange:
    """From one temperature, or one difference, to a higher one: ``3 to 5 degC``."""

    low: Degrees
    high: Degrees

    def __format__(self, _spec: str) -> str:
        return self.told("degC")

    def told(self, units: Units) -> str:
        """In English."""
        return f"{self.low.digits(units)} to {self.high.told(units)}"

    def said(self, units: Units) -> str:
        """In the language that is spoken."""
        ends = {"low": decimal(self.low.digits(units)), "high": self.high.said(units)}
        return say("{low} to {high}", **ends)


@dataclass(frozen=True, slots=True)
class Extremes:
    """A day's lowest and highest temperature [degC], or two differences: ``3.0 / 12.5 degC``."""

    low_c: float
    high_c: float
    apart: bool = False

    def __format__(self, _spec: str) -> str:
        return self.told("degC")

    def told(self, units: Units) -> str:
        """In English."""
        low, high = self._both
        return f"{low.digits(units)} / {high.told(units)}"

    def said(self, units: Units) -> str:
        """In the language that is spoken."""
        low, high = self._both
        return f"{decimal(low.digits(units))} / {high.said(units)}"

    @property
    def _both(self) -> tuple[Degrees, Degrees]:
        return Degrees(self.low_c, 1, self.apart), Degrees(self.high_c, 1, self.apart)


@dataclass(frozen=True, slots=True)
class DegreeDays:
    """A sum of heat with its unit: ``1,250 degree days``."""

    value: float

    def __format__(self, _spec: str) -> str:
        return self.told("degC")

    def told(self, units: Units) -> str:
        """In English."""
        return f"{self._digits(units)} degree days"

    def said(self, units: Units) -> str:
        """In the language that is spoken."""
        return say("{sum} degree days", sum=decimal(self._digits(units)))

    def _digits(self, units: Units) -> str:
        return f"{self.value * (DEGREE_F if units == 'degF' else 1.0):,.0f}"


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of heat or chill; its unit, such as degree days, stands beside it."""

    value: float
    unit: str

    def __format__(self, spec: str) -> str:
        return format(self.value, spec)

    def turned(self, units: Units) -> float:
        """The number where temperatures are read in `units`."""
        heat = self.unit.startswith("growing degree days")
        return self.value * DEGREE_F if units == "degF" and heat else self.value


@dataclass(frozen=True, slots=True)
class Day:
    """A date as it is said: ``Tue 11 Aug``, ``11 Aug``, ``11 Aug 2026`` or, whole, ``11 August 2026``."""

    date: dt.date
    weekday: bool = False
    year: bool = False
    whole: bool = False  # the month's name

    def __format__(self, _spec: str) -> str:
        weekday = f"{_WEEKDAYS[self.date.weekday()]} " if self.weekday else ""
        year = f" {self.date.year}" if self.year else ""
        month = f"{self.date:%B}" if self.whole else _MONTHS[self.date.month - 1]
        return f"{weekday}{self.date.day} {month}{year}"

    def said(self) -> str:
        """In the language that is spoken."""
        if language() == ENGLISH:
            return f"{self}"
        from babel.dates import format_skeleton

        skeleton = f"{'y' * self.year}MMM{'M' * self.whole}{'E' * self.weekday}d"
        return str(format_skeleton(skeleton, self.date, locale=language()))


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
    units: Units
    capital: bool  # whether its English begins with one

    def __new__(cls, template: str = "", /, **values: Any) -> Self:
        """A text, its values put in."""
        return cls._made(template.format(**values) if values else template, template, values)

    @classmethod
    def _made(cls, text: str, template: str, values: Mapping[str, Any], **more: Any) -> Self:
        self = super().__new__(cls, text)
        usual = {"many": "", "of": 1, "context": "", "units": "degC", "capital": False}
        self.__dict__.update({**usual, **more})
        self.__dict__.update(template=template, values=values)
        return self

    @classmethod
    def of_count(cls, one: str, many: str, n: int, /, **values: Any) -> Self:
        """One text for a count of one, another for others; both may name ``{n}``."""
        values = {"n": n, **values}
        return cls._made((one if n == 1 else many).format(**values), one, values, many=many, of=n)

    @classmethod
    def named(cls, context: str, text: str) -> Self:
        """A word that may mean something else elsewhere."""
        return cls._made(text, text, {}, context=context)

    def told_in(self, units: Units) -> Self:
        """The same message, its temperatures, differences and sums of heat in `units`."""
        return self._again(units=units)

    def capitalised(self) -> Self:
        """Its English with a capital; what a translation begins with is the translator's."""
        return self._again(capital=True)

    def _again(self, **changes: Any) -> Self:
        """The same message with its English written anew."""
        told = {**self.__dict__, **changes}
        template, values = told.pop("template"), told.pop("values")
        text = self.many if self.many and self.of != 1 else template
        if values:
            text = text.format(**{name: _in_english(value, told["units"]) for name, value in values.items()})
        if told["capital"]:
            text = text[:1].upper() + text[1:]
        return self._made(text, template, values, **told)

    def translated(self) -> str:
        """In the language that is spoken, which isn't English."""
        words = _catalogue(language())
        if self.many:
            found = words.ngettext(self.template, self.many, self.of)
        elif self.context:
            found = words.pgettext(self.context, self.template)
        else:
            found = words.gettext(self.template) if self.template else ""
        if self.values:
            found = found.format(**{name: _value(value, self.units) for name, value in self.values.items()})
        return _TWO_STOPS.sub(".", found)


class _Number(float):
    """A number as the language that is spoken writes it."""

    def __format__(self, spec: str) -> str:
        return decimal(format(float(self), spec or "g"))


def _in_english(value: Any, units: Units) -> Any:
    """A value of a message in English."""
    if isinstance(value, Message):
        return _within(value, units)
    if isinstance(value, Degrees | DegreesRange | Extremes | DegreeDays):
        return value.told(units)
    return value.turned(units) if isinstance(value, Sum) else value


def _value(value: Any, units: Units) -> Any:
    """A value of a message in the language that is spoken."""
    if isinstance(value, Message):
        return _within(value, units).translated()
    if isinstance(value, Degrees | DegreesRange | Extremes | DegreeDays):
        return value.said(units)
    if isinstance(value, Day):
        return value.said()
    if isinstance(value, Sum):
        return _Number(value.turned(units))
    return _Number(value) if isinstance(value, float) else value


def _within(message: Message, units: Units) -> Message:
    """A message as a value of another one: in degF where either is."""
    return message.told_in("degF" if "degF" in (units, message.units) else "degC")


def decimal(number: str) -> str:
    """A number in digits, as English writes it, with the marks of the language that is spoken."""
    if language() == ENGLISH:
        return number
    from babel.numbers import get_decimal_symbol, get_group_symbol

    marks = {".": get_decimal_symbol(language()), ",": get_group_symbol(language())}
    return "".join(marks.get(c, c) for c in number)


def said(text: str) -> str:
    """A message in the language that is spoken; anything else as it is."""
    return text.translated() if isinstance(text, Message) and language() != ENGLISH else str(text)


def say(template: str, /, **values: Any) -> str:
    """A text in the language that is spoken, its values put in."""
    return said(Message(template, **values))


def say_count(one: str, many: str, n: int, /, **values: Any) -> str:
    """The text for one or for many, in the language that is spoken; both may name ``{n}``."""
    return said(Message.of_count(one, many, n, **values))
