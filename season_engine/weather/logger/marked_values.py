"""Temperatures with a note or a mark beside them in one cell: "-3 frost", "-3 (gel)", "12.4*"."""

from __future__ import annotations

import re

from season_engine.errors import GrowerError
from season_engine.files.foreign_values import decimal_number
from season_engine.files.text import shortened
from season_engine.weather.logger.cells import LONGEST_CELL, MINUS
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.legends import legend
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.sensors import place_of
from season_engine.weather.logger.verdicts import verdict_of
from season_engine.weather.logger.vocabulary import cell_words, means, plain

_MARKED = re.compile(
    r"\s*([+-]?\d+(?:[.,]\d+)?)(\s*(?:[°º˚]\s?[cf]?|(?<=\s)[cf](?=\s)))?\s*[-,;:]?\s*[(\[\"]?([^\s\d(\[][^\d]*?)[)\]\"]?\s*"
)
# The hour at which it was so, in brackets behind it: "12.4 (at 6 h)", "12.4 [06:30]"
_WITH_HOUR = re.compile(
    r"\s*(?P<number>[+-]?\d+(?:[.,]\d+)?)\s*[(\[]\s*"
    r"(?:(?:at|a|um|vers|a las?|alle|ore|as|om|kl|klo|ved|ob|o|v|w)\.?\s)?(?:[01]?\d|2[0-4])\s?"
    r"(?:h|hrs?|uhr|[:h]\s?[0-5]\d(?:\s?(?:h|uhr))?|\.[0-5]\d\s?(?:h|uhr)|(?::[0-5]\d)?\s?[ap]\.?m\.?)"
    r"\s*[)\]]\s*"
)
_SHORT = 2  # letters, or signs: a mark and no note


def is_marked(text: str) -> bool:
    """Whether a cell holds a number with a note or a mark beside it."""
    return any(pattern.fullmatch(_said(text)) for pattern in (_WITH_HOUR, _MARKED))


def _said(text: str) -> str:
    return plain(text).translate(MINUS) if len(text) <= LONGEST_CELL else ""


class Marks:
    """What marks and notes beside a column's values say of them."""

    def __init__(self, table: LoggerTable, role: str, how: ReadAs) -> None:
        self.table, self.role = table, role
        self.flags = None if how.flags is None else {plain(flag) for flag in how.flags}
        self.about = [line for _, line in table.head.about] + [line for _, _, line in table.left]

    def number(self, text: str) -> float | None:
        """The number beside a note, None where the cell is no reading; ValueError for what is neither.

        Raises GrowerError where a mark may mean that it is a bad one.
        """
        said = _said(text)
        if hour := _WITH_HOUR.fullmatch(said):
            return decimal_number(hour["number"])
        found = _MARKED.fullmatch(said)
        number, mark = (decimal_number(found[1]), found[3].strip()) if found else (None, "")
        if number is None or mark in ("%", "v", "mm"):
            raise ValueError(text)
        if means(mark, "flags", "below") or (mark == "-" and number):
            if self.flags is not None:
                return None
            raise self._below(text)
        if self.flags is not None and mark in self.flags:
            return number
        if mark in cell_words("missing"):
            return None
        letters = sum(letter.isalpha() for letter in mark)
        told = legend(self.about, mark, [mark], [mark]).get(mark, mark)
        verdict = verdict_of(told)
        if verdict == "bad":
            return None
        elsewhere = place_of(mark) == "elsewhere"
        if verdict == "good" or (not elsewhere and letters > _SHORT and not means(mark, "flags", "doubtful")):
            return number
        if self.flags is not None:
            return number if mark in self.flags else None
        raise self._ask(text, mark)

    def _below(self, text: str) -> GrowerError:
        line = self.table.lines[self.table.texts[self.role].index(text)]
        problem = f'"{shortened(text.strip())}" may be meant to be below zero, and has no minus before it.'
        hint = 'Write flags = [""] under [site.weather] to leave such readings out.'
        field = self.table.name(self.role)
        return GrowerError(problem, hint=hint, file=self.table.file, line=line, field=field)

    def _ask(self, text: str, mark: str) -> GrowerError:
        line = self.table.lines[self.table.texts[self.role].index(text)]
        problem = f'"{shortened(text.strip())}" bears a mark, and nothing says clearly whether that is good.'
        hint = f'Write flags = ["", "{mark}"] under [site.weather] to keep it, or flags = [""] to drop it.'
        return GrowerError(
            problem, hint=hint, file=self.table.file, line=line, field=self.table.name(self.role)
        )
