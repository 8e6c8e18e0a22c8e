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
_SHORT = 2  # letters, or signs: a mark and no note


def is_marked(text: str) -> bool:
    """Whether a cell holds a number with a note or a mark beside it."""
    return len(text) <= LONGEST_CELL and _MARKED.fullmatch(plain(text).translate(MINUS)) is not None


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
        found = None if len(text) > LONGEST_CELL else _MARKED.fullmatch(plain(text).translate(MINUS))
        if found is None:
            raise ValueError(text)
        number, mark = decimal_number(found[1]), found[3].strip()
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
