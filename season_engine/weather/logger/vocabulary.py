"""The words that loggers' headers, dates and cells are made of, in many languages (`words.toml`)."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from typing import Any

LONGEST_NAME = 100  # characters of a column's name that are looked at
_LATIN_SHORT = 3  # letters: a word so short must stand alone
_CAMEL = re.compile(r"(?<=[a-zà-ÿ])(?=[A-ZÀ-Þ])")
_WORDS = re.compile(r"[^\W\d_]+|\d+")
_IN_UNITS = re.compile(
    r"\bin\s+(?=[(\[]?[\s\d/.,]*(?:°|deg|grad|c\b|f\b|celsius|fahrenheit|%))", re.IGNORECASE
)


@cache
def words() -> dict[str, Any]:
    """The whole of `words.toml`."""
    return tomllib.loads(files(__package__).joinpath("words.toml").read_text("utf-8"))


@cache
def plain(text: str) -> str:
    """A text without capitals, accents and forms of width: "Température (℃)" is "temperature (°c)"."""
    text = text.replace("\u00c2°", "°")  # UTF-8 that was taken for a Windows alphabet once
    decomposed = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", text).casefold())
    letters = unicodedata.normalize("NFC", "".join(c for c in decomposed if not _accent(c)))
    return letters.replace("°\u0441", "°c")  # Russian writes Celsius with a letter that looks the same


def _accent(letter: str) -> bool:
    """A mark over a Latin or Greek letter; those of Japanese kana make another sound."""
    return unicodedata.combining(letter) != 0 and letter not in "\u3099\u309a"


@cache
def tokens(name: str) -> tuple[str, ...]:
    """The words and numbers of a column's name: "TempOut_°C" has temp, out and c."""
    name = _IN_UNITS.sub("", name[:LONGEST_NAME])
    return tuple(_WORDS.findall(plain(_CAMEL.sub(" ", name))))


@cache
def _table(
    section: str, kind: str
) -> tuple[frozenset[str], tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """A list of words as they are looked for: alone, in longer words, in any place, and as phrases."""
    alone, joined, anywhere, phrases = set(), [], [], []
    for word in map(plain, words()[section][kind]):
        if not word.isascii() and any(ord(letter) > 0x2E80 for letter in word):
            anywhere.append(word)
        elif " " in word or any(letter.isdigit() for letter in word):
            phrases.append(" ".join(_WORDS.findall(word)))
        else:
            alone.add(word.removeprefix("="))
            if len(word) > _LATIN_SHORT and not word.startswith("="):
                joined.append(word)
    return frozenset(alone), tuple(joined), tuple(anywhere), tuple(phrases)


@cache
def means(name: str, section: str, kind: str) -> bool:
    """Whether a name holds a word of that kind."""
    alone, joined, anywhere, phrases = _table(section, kind)
    said = tokens(name)
    if any(token in alone for token in said):
        return True
    if any(token.startswith(word) or token.endswith(word) for token in said for word in joined):
        return True
    text = f" {' '.join(said)} "
    return any(word in text for word in anywhere) or any(f" {phrase} " in text for phrase in phrases)


def says(name: str, *kinds: str) -> bool:
    """Whether a column's name holds a word of any of these kinds of `[header]`."""
    return any(means(name, "header", kind) for kind in kinds)


@cache
def cell_words(kind: str) -> frozenset[str]:
    """Words of cells of a kind, as `plain` makes them."""
    return frozenset(map(plain, words()["cells"][kind]))


@cache
def weekdays() -> frozenset[str]:
    """Names of weekdays, whole, short, and cut to three letters or more."""
    found = set(map(plain, words()["weekdays"]["short"]))
    for name in map(plain, words()["weekdays"]["names"]):
        found |= {name[:length] for length in range(3, len(name) + 1)}
    return frozenset(found)


@cache
def _month_tables() -> tuple[dict[str, int], ...]:
    """For each language what a month may be called, whole or cut to three letters or more."""
    tables = []
    for names in words()["months"].values():
        found: dict[str, set[int]] = {}
        whole: dict[str, int] = {}
        for number, spellings in enumerate(names, start=1):
            uncut = spellings.startswith("=")
            for name in map(plain, spellings.lstrip("=").split()):
                whole[name] = number
                for length in range(len(name) if uncut else 3, len(name) + 1):
                    found.setdefault(name[:length], set()).add(number)
        tables.append({name: min(months) for name, months in found.items() if len(months) == 1} | whole)
    return tuple(tables)


@cache
def is_month(word: str) -> bool:
    """Whether some language calls a month so."""
    return any(word in table for table in _month_tables())


def months_of(names: Iterable[str]) -> list[dict[str, int]]:
    """What these names of months may mean: a table for each way in which some language knows them all."""
    wanted = set(names)
    found: list[dict[str, int]] = []
    for table in _month_tables():
        if wanted <= table.keys():
            meant = {name: table[name] for name in wanted}
            if meant not in found:
                found.append(meant)
    return found
