"""A logger file as a table of text: its alphabet, delimiter, header and rows, whatever wrote it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from season_engine.errors import GrowerError
from season_engine.weather.problems import Problems
from season_engine.workspace.reading import listed

# Header spellings in lower case, after taking out units, spaces and punctuation.
HEADERS = {
    "date": {"date", "day", "datum", "localdate", "datelocal"},
    "time": {
        *("time", "localtime", "timelocal", "datetime", "dateandtime", "datetimelocal", "localdatetime"),
        *("timestamp", "observedat"),
    },
    "tmin": {
        *("tmin", "mint", "tn", "min", "minimum", "low", "lowest", "mintemp", "tempmin", "lowtemp"),
        *("templow", "minairtemp"),
        *("mintemperature", "temperaturemin", "minimumtemperature", "temperatureminimum", "airtempmin"),
        *("lowtemperature", "temperaturelow"),
    },
    "tmax": {
        *("tmax", "maxt", "tx", "max", "maximum", "high", "highest", "maxtemp", "tempmax", "hightemp"),
        *("temphigh", "maxairtemp"),
        *("maxtemperature", "temperaturemax", "maximumtemperature", "temperaturemaximum", "airtempmax"),
        *("hightemperature", "temperaturehigh"),
    },
    "temp": {"temp", "temperature", "t", "airtemp", "airtemperature", "tair", "tempair", "temperatureair"},
}

_UNIT = re.compile(r"[\s_(\[,]*(?:(?:deg(?:rees)?|[°º])[\s_.]*|[\s_(\[])(c|f)(?:elsius|ahrenheit)?\s*[)\]]?$")
_BINARY = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_SAVE_AS = 'Save it again as "CSV UTF-8".'


@dataclass(frozen=True)
class LoggerTable:
    """The columns that matter, as text; "tmin" and "tmax" are there, or else "temp"."""

    headers: dict[str, str]  # role (a key of HEADERS) to the header as it is spelt in the file
    texts: dict[str, list[str]]  # role to one text a row
    lines: list[int]  # line of each row in the file


def decoded(content: bytes, file: str) -> str:
    """Text of a file in UTF-8, in UTF-16 with its mark, or in the western Windows alphabet."""
    if not content.strip():
        raise GrowerError("this file is empty.", hint="It needs a header and a line a day.", file=file)
    wide = content[:2] in (b"\xff\xfe", b"\xfe\xff")
    if not wide and (binary := _BINARY.search(content)):
        line = content.count(b"\n", 0, binary.start()) + 1
        raise GrowerError("this is not a text file.", hint=_SAVE_AS, file=file, line=line)
    failure: UnicodeDecodeError | None = None
    for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError as error:
            failure = failure or error
    assert failure is not None
    before = content[: failure.start].decode("utf-16" if wide else "cp1252", "replace")
    problem = "a character on this line can't be read, in UTF-8 or in any alphabet I know."
    raise GrowerError(problem, hint=_SAVE_AS, file=file, line=before.count("\n") + 1)


def read_table(text: str, file: str, units: str) -> LoggerTable:
    """Find the header and the delimiter, and take the columns out; raises GrowerError or InputErrors."""
    source = io.StringIO(text, newline="")
    line, header = _first_line(source)
    unquoted = re.sub(r'"[^"]*"', "", header)
    delimiter = next((mark for mark in "\t;," if mark in unquoted), None)
    if delimiter is None:
        hint = 'The first line names the columns, such as "date,tmin,tmax" or "time,temp".'
        raise GrowerError("no columns here.", hint=hint, file=file, line=line)
    names = [name.strip() for name in next(csv.reader([header], delimiter=delimiter, skipinitialspace=True))]
    columns = _columns(names, file, line, units)
    numbered = _rows(csv.reader(source, delimiter=delimiter, skipinitialspace=True, strict=True), line, file)
    rows = _whole_rows(numbered, names, file)
    if not rows:
        raise GrowerError("there is a header but no reading.", file=file, line=line)
    headers = {role: names[column] for role, column in columns.items()}
    texts = {role: [row[column] for _, row in rows] for role, column in columns.items()}
    return LoggerTable(headers, texts, [at for at, _ in rows])


def _first_line(source: io.StringIO) -> tuple[int, str]:
    """Number and text of the first line that isn't blank or a comment."""
    line, text = 1, ""
    for line, text in enumerate(source, start=1):
        if text.strip() and not text.startswith(("#", "sep=")):
            return line, text.strip("\r\n")
    return line, ""


def _spelling(name: str) -> tuple[str, str | None]:
    """A header reduced to its letters, and the unit it names, if any."""
    name = name.casefold()
    unit = _UNIT.search(name)
    if unit:
        name = name[: unit.start()]
    return re.sub(r"[^a-z0-9]", "", name), f"deg{unit[1].upper()}" if unit else None


def _columns(names: list[str], file: str, line: int, units: str) -> dict[str, int]:
    """Position of each column that is needed; others are left alone."""
    columns: dict[str, int] = {}
    for position, name in enumerate(names):
        spelling, unit = _spelling(name)
        role = next((role for role, spellings in HEADERS.items() if spelling in spellings), None)
        if role is None:
            continue
        if unit and unit != units:
            hint = f'If the header is right, set units = "{unit}" under [site.weather].'
            problem = f"the header says {unit} and the settings say {units}."
            raise GrowerError(problem, hint=hint, file=file, line=line, field=name)
        if role in columns:
            problem = f"{listed([names[columns[role]], name], 'and')} could both be the {role} column."
            raise GrowerError(problem, hint="Rename one of them.", file=file, line=line)
        columns[role] = position
    return _needed(columns, names, file, line)


def _needed(columns: dict[str, int], names: list[str], file: str, line: int) -> dict[str, int]:
    """Daily columns where both extremes are there, else those of single readings."""
    has_day = "date" in columns or "time" in columns
    if has_day and "tmin" in columns and "tmax" in columns:
        day = "date" if "date" in columns else "time"
        return {role: columns[role] for role in (day, "tmin", "tmax")}
    if has_day and "temp" in columns:
        return {role: columns[role] for role in ("date", "time", "temp") if role in columns}
    lacking = [] if has_day else ["date"]
    if "temp" not in columns:
        lacking += [role for role in ("tmin", "tmax") if role not in columns]
    hint = f"Needed are date, tmin and tmax, or time and temp. Found: {listed(names, 'and')}."
    raise GrowerError(f"there is no {listed(lacking, 'and no')} column.", hint=hint, file=file, line=line)


def _rows(reader: Iterator[list[str]], header_line: int, file: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that aren't blank, each with the line it starts on."""
    line = header_line + 1
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            problem = "from here on the file can't be read as a table; a quote may never be closed."
            raise GrowerError(problem, file=file, line=line) from error
        if row and (row[0] or any(map(str.strip, row))):
            yield line, row
        line = header_line + 1 + reader.line_num  # type: ignore[attr-defined]


def _whole_rows(
    rows: Iterator[tuple[int, list[str]]], names: list[str], file: str
) -> list[tuple[int, list[str]]]:
    """Refuse rows that are shorter or longer than the header; empty fields past its end don't matter."""
    kept, problems, width = [], Problems(file), len(names)
    for line, row in rows:
        if len(row) != width and (len(row) < width or any(map(str.strip, row[width:]))):
            hint = "A decimal comma needs another delimiter, such as a semicolon." if len(row) > width else ""
            problems.add(line, None, f"{len(row)} fields where the header has {width}.", hint)
        kept.append((line, row))
    problems.raise_if_any()
    return kept
