"""A line in a grower's words as a row of words and marks, without regard to case and umlauts."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import Annotated

from pydantic import AfterValidator

from season_engine.tree import Tree

_FOLDED = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "’": "'", "`": "'", "´": "'"})  # noqa: RUF001
_FRACTIONS = str.maketrans({"½": " 1/2 ", "⅓": " 1/3 ", "⅔": " 2/3 ", "¼": " 1/4 ", "¾": " 3/4 "})
_TOKEN = re.compile(
    r"\d+\s?/\s?\d+|\d+(?:[.,]\d+)?\s?%|\d+(?:[.,x×]\d+)+|[^\W_]+(?:'[^\W_]+)*|[.;!?:,()+&]|(?<=\s)[-–—](?=\s)|[–—]"  # noqa: RUF001
)


@dataclass(frozen=True, slots=True)
class Subject:
    """A tree, or a kind of tree, or the whole yard, named in a line."""

    tree: Tree | None = None
    species: str | None = None  # of a tree its own
    whole_yard: bool = False
    indefinite: bool = False  # "a larch", which may be anybody's
    may_be: tuple[str, ...] = ()  # the kinds, or the trees' ids, that it could be
    asks: str = ""  # what it could be, where that is unclear
    one_of: tuple[str, ...] = ()  # the trees of a kind of which one alone is named

    @property
    def unclear(self) -> bool:
        """Whether it names something without telling which."""
        return bool(self.asks)


@dataclass(frozen=True, slots=True)
class Day:
    """When something was, as a clause tells it; without a date and not vague no day of what was done."""

    date: dt.date | None = None
    vague: bool = False
    long_ago: bool = False  # in another season


@dataclass(frozen=True, slots=True)
class Place:
    """A yard of season.toml."""

    site: str


Token = str | Subject | Day | Place


def folded(text: str) -> str:
    """A text in small letters, umlauts written out."""
    return text.casefold().translate(_FOLDED)


def folded_set(words: str) -> frozenset[str]:
    """Words apart by spaces, as lines are read."""
    return frozenset(folded(words).split())


def _each_folded(words: frozenset[str]) -> frozenset[str]:
    return frozenset(folded(word) for word in words)


Words = Annotated[frozenset[str], AfterValidator(_each_folded)]  # of a file, as lines are read
_NEGATED = (
    "didn't don't doesn't hasn't haven't hadn't isn't aren't wasn't weren't couldn't shouldn't wouldn't"
)
_APOSTROPHES = {
    one.replace("'", ""): one for one in folded_set(f"{_NEGATED} won't can't i'm i've that's there's")
}


def line_tokens(text: str) -> list[str]:
    """The words and marks of a line."""
    found = [_APOSTROPHES.get(one, one) for one in _TOKEN.findall(folded(text.translate(_FRACTIONS)))]
    return [re.sub(r"\s", "", one) if one[0].isdigit() else "-" if one in "–—" else one for one in found]  # noqa: RUF001


def capitals_in(text: str) -> frozenset[str]:
    """The words of a line that begin with a capital letter, in small letters."""
    return frozenset(folded(one) for one in _TOKEN.findall(text) if one[0].isupper())
