"""What a single cell of a logger's table holds: a number with its unit, nothing, a code or a remark."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from season_engine.files.foreign_values import decimal_number
from season_engine.weather.logger.vocabulary import cell_words, plain

# What sensors and stations write as a number where there is no reading (from memory).
MISSING_CODES = frozenset(
    {
        *(-127, -99.9, -99.99, -999, -999.9, -999.99, -999.25, -9999, -9999.9, -99999, -8888, -6999, -7999),
        *(999, 999.9, 999.99, 9999, 9999.9, 99999, 888.8, 8888, 6999, 7999),
        *(327.67, -327.68, 655.35, 3276.7, -3276.8, 6553.5, 32767, 32768, -32768, 65535, 2147483647),
    }
)
_FAR_TOO_LARGE = 1e9
LONGEST_CELL = 80  # characters; a longer one is a remark, or a slip
MINUS = str.maketrans(
    {"\N{MINUS SIGN}": "-", "\N{EN DASH}": "-", "\N{NON-BREAKING HYPHEN}": "-", "\N{HYPHEN}": "-"}
)
DEGREES = re.compile(
    r"[\s_]*(?:(?:deg(?:rees?|\.)?|grad|[°º˚゜]|[?\ufffd](?=[cf]))\s*[_.]?\s*(c|f)?(?:elsius|ahrenheit)?|(c|f)(?:elsius|ahrenheit)?)\.?$"
)
_OTHER_UNIT = re.compile(
    r"\s*(?:%(?:\s*r\.?\s?[hf]\.?)?|m?v|hpa|mbar|mm|km/h|m/s|mph|kts?|in(?:hg)?|w/m[²2]|lux|lx|dbm?|ppm)$"
)
_EXPONENT = re.compile(r"-?\d\.\d+e[+-]\d{1,3}")
_ENORMOUS = re.compile(r"[+-]?\d(?:\.\d+)?e\+?(?:[1-9]|\d\d|\d\d\d)")  # 1e20, where there is no reading
_THREE_LETTERS = re.compile(r"[^\W\d_]{3}")
_CODE = re.compile(r"(?:e|er|err|error|fehler|f)[\s.:#-]*\d{1,3}")


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a cell: a number, or a word for none; `unit` is "C", "F", "" or another quantity's."""

    number: float | None = None
    unit: str = ""
    word: bool = False  # no number, and no slip of the pen either
    decimals: int = 0

    @property
    def empty(self) -> bool:
        """Whether nothing is there."""
        return self.number is None and not self.word


NOTHING = Cell()
WORD = Cell(word=True)


class Slip(ValueError):
    """A cell that looks like a number and is none."""


@lru_cache(maxsize=1 << 16)
def cell(text: str) -> Cell:
    """What a cell holds; raises Slip for what looks like a number and is none."""
    if len(text) > LONGEST_CELL:
        if _THREE_LETTERS.search(text[:LONGEST_CELL]):
            return WORD
        raise Slip(text)
    said = plain(unicodedata.normalize("NFKC", text)).translate(MINUS).strip(" \t\"'")
    if not said or not any(letter.isalnum() for letter in said):
        return NOTHING
    unit = ""
    if found := DEGREES.search(said):
        unit = (found[1] or found[2] or "").upper()
    elif found := _OTHER_UNIT.search(said):
        unit = found[0].strip()
    number = _number(said[: found.start()].strip() if found else said)
    if _is_enormous(said):
        return WORD
    if number is not None:
        return Cell(number, unit, False, _decimals(said))
    if said in cell_words("missing") or _is_words(said):
        return WORD
    raise Slip(text)


def _number(said: str) -> float | None:
    if said.startswith("- ") and said[2:3].isdigit():
        said = "-" + said[2:]
    return float(said) if _EXPONENT.fullmatch(said) else decimal_number(said)


def _decimals(said: str) -> int:
    found = re.search(r"[.,](\d+)", said)
    return len(found[1]) if found else 0


def _is_enormous(said: str) -> bool:
    """Whether a number is no temperature in any unit or fraction of it."""
    return _ENORMOUS.fullmatch(said) is not None and abs(float(said)) >= _FAR_TOO_LARGE


def _is_words(said: str) -> bool:
    """A remark or a code: words of three letters or more, no digit at all, or "E 02"."""
    if not any(letter.isdigit() for letter in said) or _CODE.fullmatch(said):
        return True
    return _THREE_LETTERS.search(DEGREES.sub("", said)) is not None


def is_number(text: str) -> bool:
    """Whether a cell holds a number, with a unit or without."""
    try:
        return cell(text).number is not None
    except Slip:
        return False
