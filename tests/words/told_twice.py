"""The same prose in degC and in degF, held against each other number by number.

It knows nothing of how the prose is made: which rule a number goes by is read off the words around it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from difflib import SequenceMatcher

N = r"(?:(?<![\w.])-)?(?<![\d.,])\d+(?:,\d{3})*(?:\.\d+)?"
_PAIR = rf"{N}(?: ?(?:/|to|and|or|-|\.\.) ?{N})?"
_APART = r"(?:or more )?(?:off|apart|higher|lower|colder|warmer|is added|is taken|\(lowest|as corrected)"
_MEASURED = rf"Measured so far: (?P<n>{N}; needed: {N})"
_HEAT = rf"growing degree days above {N} °[CF](?: capped at {N} °[CF])?"
_USUAL = "By that date 8 in 10 past seasons"
# The first that fits a number says what it is; what none fits is the same in both.
_KINDS = (
    ("heat", rf"(?P<n>{N}(?: (?:of|to|/) {N})?) (?:growing )?degree days"),
    ("heat", rf"{_HEAT} still to come, (?P<n>{N}) is the mark"),
    ("heat", rf"{_HEAT} by [^.]*\. {_USUAL} had (?P<n>{N} to {N}, the middle one {N})"),
    ("heat", rf"need (?P<n>{N}), unit growing degree days"),
    ("heat", rf"{_HEAT}[^:]*{_MEASURED}"),
    ("level", rf"\(mean (?:above|below)[^:]*:[^:]*{_MEASURED}"),
    ("level", rf"(?:level|base|middle)_[cf] (?P<n>{N})"),
    ("per degree", rf"steepness_per_[cf] (?P<n>{N})"),
    ("apart", rf"(?P<n>{_PAIR}) °[CF](?= {_APART})"),
    ("level", rf"(?P<n>{_PAIR}) °[CF]"),
)
# Fahrenheit is 9/5 of Celsius and 32 more; differences and sums of heat have no 32.
_RULES: dict[str, tuple[float, float]] = {
    "level": (1.8, 32.0),
    "apart": (1.8, 0.0),
    "heat": (1.8, 0.0),
    "per degree": (1 / 1.8, 0.0),
}
_MIX_UP = "reads like degC among degF"  # what a logger's readings look like, in either unit


def plain(text: str) -> str:
    """On one line, a degree's sign before its letter."""
    return re.sub(r"\bdeg(?=[CF]\b)", "°", " ".join(text.replace(_MIX_UP, "").split()))


def unlike(celsius: str, fahrenheit: str) -> list[str]:
    """What is wrong with `fahrenheit` as the same prose in degF: a line each, none where it is right."""
    celsius, fahrenheit = plain(celsius), plain(fahrenheit)
    left = [f"left in degC: {around(fahrenheit, found)}" for found in re.finditer(r"°C|_c\b", fahrenheit)]
    if (words := shape(celsius)) != (others := shape(fahrenheit)):
        return [*left, *_apart(words, others)]
    both = zip(numbers(celsius), numbers(fahrenheit), strict=True)
    return left + [
        f"{kind}: {around(celsius, one)} / {around(fahrenheit, other)}"
        for (kind, one), (_, other) in both
        if not _is_turned(kind, one[0], other[0])
    ]


def shape(text: str) -> str:
    """The prose without its numbers and units."""
    return re.sub(r"°[CF]", "°", re.sub(r"_[cf]\b", "_", re.sub(N, "#", text)))


def numbers(text: str) -> Iterator[tuple[str, re.Match[str]]]:
    """Each number with what it is: a temperature, a difference, heat; empty: anything else."""
    kinds: dict[int, str] = {}
    for kind, pattern in _KINDS:
        for found in re.finditer(pattern, text):
            for number in re.finditer(N, text[: found.end("n")][found.start("n") :]):
                kinds.setdefault(found.start("n") + number.start(), kind)
    for number in re.finditer(N, text):
        yield kinds.get(number.start(), ""), number


def _is_turned(kind: str, celsius: str, fahrenheit: str) -> bool:
    """Whether a number is the other in degF, as far as both were rounded."""
    if not kind:
        return celsius == fahrenheit
    times, more = _RULES[kind]
    rounded = times * _half(celsius) + _half(fahrenheit) + 1e-9
    return abs(_value(celsius) * times + more - _value(fahrenheit)) <= rounded


def _value(number: str) -> float:
    return float(number.replace(",", ""))


def _half(number: str) -> float:
    """Half a unit of its last place."""
    return 0.5 * 10.0 ** -len(number.partition(".")[2])


def around(text: str, found: re.Match[str]) -> str:
    """A number with the words beside it."""
    return text[max(0, found.start() - 40) : found.end() + 30]


def _apart(one: str, other: str) -> Iterator[str]:
    steps: Callable[[], list] = SequenceMatcher(None, one, other, autojunk=False).get_opcodes
    for what, a, b, c, d in steps():
        if what != "equal":
            yield f"otherwise worded: {one[max(0, a - 40) : b + 20]} / {other[max(0, c - 40) : d + 20]}"
