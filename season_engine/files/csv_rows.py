"""Rows of the grower's CSV files and the checks their fields share; all faults of a file come together."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

from season_engine.errors import GrowerError, InputErrors
from season_engine.files.foreign_csv import BrokenCsv, delimiter_of, rows_of
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served
from season_engine.files.packed import Readable
from season_engine.files.text import did_you_mean, listed, read_text, shortened

Word = TypeVar("Word", bound=str)

_DATE = re.compile(r"([0-9]{4})(?:-([0-9]{2}))?(?:-([0-9]{2}))?")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class Sheet:
    """One CSV file: its rows in order, and every fault found in it so far.

    Iterating yields the rows that hold anything. The delimiter (comma, semicolon or tab) is taken from the
    header. Raises InputErrors at once where the header is wrong; `finish` raises it for all other faults
    together. Rows end where the quoting breaks, since nothing after that can be trusted.
    """

    def __init__(self, path: Readable, columns: Sequence[str], required: Sequence[str]) -> None:
        self.path = path
        self.faults: list[GrowerError] = []
        text = read_text(path)
        self._rows = ((line, row) for line, row in rows_of(text, delimiter_of(text)) if row)
        try:
            self._line, header = next(self._rows, (1, []))
        except BrokenCsv as broken:
            raise InputErrors([broken.told(path)]) from None
        self.header = [_column_name(name) for name in header]
        self._check_header(columns, required)
        self.finish()

    def __iter__(self) -> Iterator[Row]:
        try:
            for line, row in self._rows:
                values = [value.strip() for value in row]
                if any(values[len(self.header) :]):
                    problem = f"This line has {len(values)} values for {len(self.header)} columns."
                    self.fault(line, problem, hint="A text with a comma in it needs quotes around it.")
                elif any(values):
                    yield Row(self, line, dict(zip(self.header, values, strict=False)))
        except BrokenCsv as broken:
            self.faults.append(broken.told(self.path))

    def fault(self, line: int, problem: str, *, column: str | None = None, hint: str = "") -> None:
        """Note a fault, to be raised with all others by `finish`."""
        self.faults.append(GrowerError(problem, hint=hint, file=self.path, line=line, field=column))

    def finish(self) -> None:
        """Raise InputErrors where any fault was noted."""
        if self.faults:
            raise InputErrors(self.faults)

    def _check_header(self, columns: Sequence[str], required: Sequence[str]) -> None:
        while self.header and not self.header[-1]:  # spreadsheets leave empty columns at the end
            self.header.pop()
        if not self.header:
            self.fault(1, "The header line is missing.", hint=f"Start the file with: {','.join(columns)}")
            return
        for name, count in Counter(self.header).items():
            if name not in columns:
                hint = did_you_mean(name, columns) or f"Known columns: {', '.join(columns)}."
                problem = f'"{shortened(name)}" is not a known column.'
                self.fault(self._line, problem, column=shortened(name) or None, hint=hint)
            elif count > 1:
                self.fault(self._line, f'The column "{name}" is there {count} times.', column=name)
        for name in required:
            if name not in self.header:
                self.fault(self._line, f'The column "{name}" is missing.', column=name)


class Row:
    """One line of a sheet. Every getter notes a fault in the sheet and returns something harmless instead."""

    def __init__(self, sheet: Sheet, line: int, values: dict[str, str]) -> None:
        self._sheet = sheet
        self.line = line
        self._values = values
        for column, value in values.items():
            if _CONTROL.search(value):
                self.fault(column, f"{column} holds a control character.")

    def fault(self, column: str | None, problem: str, hint: str = "") -> None:
        """Note a fault in this row."""
        self._sheet.fault(self.line, problem, column=column, hint=hint)

    def text(self, column: str) -> str:
        """The value as typed, which may run over several lines; empty where there is none."""
        return self._values.get(column, "")

    def words(self, column: str) -> str:
        """The value on one line, with single spaces."""
        return " ".join(self.text(column).split())

    def needed(self, column: str) -> str:
        """The value on one line; a fault where it is empty."""
        value = self.words(column)
        if not value:
            self.fault(column, f"{column} is empty.")
        return value

    def one_of(self, column: str, allowed: Sequence[Word]) -> Word | None:
        """One of a few fixed words, in any case; None where empty."""
        value = self.words(column).casefold()
        if not value:
            return None
        for word in allowed:
            if word == value:
                return word
        problem = f'{column} must be {listed(allowed)}; got "{shortened(self.text(column))}".'
        self.fault(column, problem, did_you_mean(value, allowed))
        return None

    def known(self, column: str, names: Iterable[str], kind: str) -> str | None:
        """One of the grower's own names, in any case, as first spelt; None where empty or unknown."""
        value = self.words(column)
        if not value:
            return None
        spelt = {name.casefold(): name for name in names}
        if value.casefold() not in spelt:
            hint = did_you_mean(value, spelt.values())
            if not hint and spelt and len(spelt) <= 10:
                hint = f"Known: {listed(spelt.values(), 'and')}."
            self.fault(column, f'There is no {kind} "{shortened(value)}".', hint)
        return spelt.get(value.casefold())

    def day(self, column: str, *, whole: bool) -> dt.date | None:
        """An ISO date; unless `whole` a month or year alone counts as its first day. None where empty."""
        value = self.words(column)
        if not value:
            return None
        try:
            return _date(value, whole)
        except ValueError as error:
            hint = f"Write it like 2023-03-15{'' if whole else ', 2023-03 or 2023'}."
            self.fault(column, f"{column} {error}.", hint)
            return None


def _date(text: str, whole: bool) -> dt.date:
    found = _DATE.fullmatch(text)
    if not found or (whole and found.group(3) is None):
        raise ValueError(f'must be a date; got "{shortened(text)}"')
    year, month, day = (int(part or 1) for part in found.groups())
    if not year_served(year):
        raise ValueError(f"must lie between the years {FIRST_YEAR} and {LAST_YEAR}; got {year}")
    try:
        return dt.date(year, month, day)
    except ValueError:
        raise ValueError(f'names a day that does not exist: "{text}"') from None


def _column_name(typed: str) -> str:
    """Header spelling without regard to case and spaces."""
    return "_".join(typed.strip().casefold().split())
