"""Rows of CSV that others wrote, each with its line; what can't be read as a table is one kind of error."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Iterator, Sequence

from season_engine.errors import GrowerError
from season_engine.files.packed import Readable

LONGEST_LINE = 20_000  # characters; a longer one is no line of a table
CHUNK_ROWS = 1000  # few enough to stay in the processor's cache

Lines = Sequence[int]
Rows = list[list[str]]


class BrokenCsv(ValueError):
    """From this line on the text can't be read as a table."""

    def __init__(self, line: int, reason: str) -> None:
        self.line = line
        self.reason = reason
        super().__init__(f"line {line} can't be read as part of a table ({reason})")

    def told(self, file: Readable | str) -> GrowerError:
        """The same in a grower's words."""
        return GrowerError(
            f"from this line on the file is no table: its quotes or its length are wrong ({self.reason}).",
            hint='Put quotes around the whole text and write a quote inside it twice: "like ""this""".',
            file=file,
            line=self.line,
        )


def lines_of(text: str) -> Iterator[str]:
    """Lines with their ends, whichever these are; a text kept in one piece needs a quarter of the memory."""
    for number, line in enumerate(io.TextIOWrapper(io.BytesIO(text.encode()), "utf-8", newline=""), start=1):
        if len(line) > LONGEST_LINE:
            raise BrokenCsv(number, f"{len(line):,} characters on one line, more than {LONGEST_LINE:,}")
        yield line


def fields_of(line: str, delimiter: str = ",") -> list[str]:
    """The fields of a header, whose quotes may be careless; raises BrokenCsv."""
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error as error:
        raise BrokenCsv(1, str(error)) from error


def delimiter_of(text: str) -> str:
    """What stands between the columns of the first line that isn't blank: a comma, semicolon or tab."""
    first = text.lstrip().partition("\n")[0]
    return max(",;\t", key=first.count)


def rows_of(text: str, delimiter: str = ",", *, below: int = 0) -> Iterator[tuple[int, list[str]]]:
    """Rows with the line each starts on, blank ones as empty lists, below so many lines; raises BrokenCsv."""
    reader = _reader(text, delimiter, below)
    while True:
        line = below + reader.line_num + 1  # type: ignore[attr-defined]
        try:
            yield line, next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise BrokenCsv(line, str(error)) from error


def row_chunks(text: str, delimiter: str = ",", *, below: int = 0) -> Iterator[tuple[Lines, Rows]]:
    """The same, many rows at a time while each row is a line, for files of a million rows."""
    reader = _reader(text, delimiter, below)
    line = below + 1
    while True:
        try:
            rows = list(itertools.islice(reader, CHUNK_ROWS))
        except (csv.Error, BrokenCsv):
            break
        next_line = below + 1 + reader.line_num  # type: ignore[attr-defined]
        if not rows:
            return
        if next_line - line != len(rows):
            break
        yield range(line, next_line), rows
        line = next_line
    for at, row in rows_of(text, delimiter, below=below):  # one by one: a text may run over lines
        if at >= line:
            yield [at], [row]


def header_of(text: str) -> list[str]:
    """The fields of the first line; raises BrokenCsv."""
    return next(rows_of(text), (1, []))[1]


def records_of(text: str) -> Iterator[dict[str, str]]:
    """Rows that hold anything, by the names in the first line; raises BrokenCsv, of a row cut short too."""
    rows = rows_of(text)
    _, header = next(rows, (1, []))
    for line, row in rows:
        if (row and len(row) < len(header)) or any(row[len(header) :]):
            raise BrokenCsv(line, f"{len(row)} fields where the header has {len(header)}")
        if row:
            yield dict(zip(header, row, strict=False))


def _reader(text: str, delimiter: str, below: int) -> Iterator[list[str]]:
    lines = itertools.islice(lines_of(text), below, None)
    return csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True)
