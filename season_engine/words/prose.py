"""Texts, listings and numbers as they are printed, in the language that is spoken."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from season_engine.facts import Text
from season_engine.locale import ENGLISH
from season_engine.words.speech import decimal, language, said, say, say_count

_NUMBERS = (
    Text("no"), Text("one"), Text("two"), Text("three"), Text("four"), Text("five"),
    Text("six"), Text("seven"), Text("eight"), Text("nine"), Text("ten"), Text("eleven"),
    Text("twelve"),
)  # fmt: skip
_JOINERS = "\u200c\u200d"  # invisible, but part of the spelling in several scripts


def plain(text: str | Text) -> str:
    """One line without control characters, whatever a name or note holds; translated."""
    told = said(text)
    if not told.isprintable():
        told = "".join(c if c.isprintable() or c in _JOINERS else " " for c in told)
    return " ".join(told.split())


def sentence(text: str | Text) -> str:
    """With a capital and a full stop."""
    told = plain(text)
    return capital(told) + ("" if told[-1] in ".!?" else ".") if told else ""


def capital(words: str) -> str:
    """With a capital, the rest as it is."""
    return words[:1].upper() + words[1:]


def begun(words: str) -> str:
    """With a capital in English; what a translation begins with is the translator's."""
    return capital(words) if language() == ENGLISH else words


def small(words: str) -> str:
    """Without a capital in English; other languages' translations are written as inside a sentence."""
    return f"{words[:1].lower()}{words[1:]}" if language() == ENGLISH else said(words)


def listing(items: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return say("{items} and {last}", items=", ".join(items[:-1]), last=items[-1])


def choice(items: Sequence[str]) -> str:
    """``a``, ``a or b``, ``a, b or c``."""
    if len(items) < 2:
        return "".join(items)
    return say("{items} or {last}", items=", ".join(items[:-1]), last=items[-1])


def some_of(items: Sequence[str], most: int) -> str:
    """A listing of at most `most` items, then ``and two more``."""
    if len(items) <= most + 1:
        return listing(items)
    return say("{items} and {n} more", items=", ".join(items[:most]), n=number(len(items) - most))


def number(count: int) -> str:
    """In words up to twelve."""
    return said(_NUMBERS[count]) if 0 <= count < len(_NUMBERS) else decimal(f"{count:,}")


def counted(count: int, one: str, many: str = "") -> str:
    """``one tree``, ``two trees``, ``no trees``: for what is printed in English alone."""
    return f"{number(count)} {one if count == 1 else many or one + 's'}"


def counts(one: str, many: str, count: int, /, **values: object) -> str:
    """A text for one or for many, ``{n}`` in words up to twelve."""
    return say_count(one, many, count, **{"n": number(count), **values})


def odds(chance: float, *, in_hundreds: bool = False) -> str:
    """``7 in 10``; in hundreds near the ends or where asked, and never quite none or certain."""
    hundredths = _hundredths(chance)
    if beyond_telling(chance):
        return say("fewer than 1 in 100") if hundredths <= 0 else say("more than 99 in 100")
    if in_hundreds or hundredths < 10 or hundredths > 90:
        return say("{n} in 100", n=hundredths)
    return say("{n} in 10", n=math.floor(chance * 10 + 0.5))


def beyond_telling(chance: float) -> bool:
    """Whether odds are so near to none, or to certain, that no number of hundredths tells them."""
    return not 0 < _hundredths(chance) < 100


def _hundredths(chance: float) -> int:
    return math.floor(chance * 100 + 0.5)


def amount(value: float) -> str:
    """A measured value at the precision a grower can use."""
    return decimal(f"{value:.1f}".removesuffix(".0") if abs(value) < 20 else f"{value:,.0f}")


def gathered(texts: Iterable[str]) -> tuple[str, ...]:
    """The texts without repeats or blanks, in the order they came."""
    return tuple(dict.fromkeys(text.strip() for text in texts if text.strip()))
