"""A logger file as a table of text: its alphabet, delimiter, header and rows, whatever wrote it."""

from __future__ import annotations

import re
from array import array
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, Lines, Rows, fields_of, lines_of, row_chunks
from season_engine.files.problems import Problems
from season_engine.files.text import listed

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
_ZONE = re.compile(
    r"[\s,(\[_]*(?<![A-Za-z])(?:UTC|GMT)(?:\s*[+-]\d{1,2}(?::?\d\d)?)?\s*[)\]]?$", re.IGNORECASE
)
_BINARY = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_SAVE_AS = 'Save it again as "CSV UTF-8".'

LONGEST_BLOCK = 60  # lines a logger may write about itself above the table
LONGEST_NAME = 100  # characters of a column's name that are looked at
MOST_NAMES = 20  # columns named in a message


@dataclass(frozen=True)
class LoggerTable:
    """The columns that matter, as text; "tmin" and "tmax" are there, or else "temp"."""

    headers: dict[str, str]  # role (a key of HEADERS) to the header as it is spelt in the file
    texts: dict[str, list[str]]  # role to one text a row
    lines: Sequence[int]  # line of each row in the file
    zone: str | None = None  # "UTC", "GMT+12:00": that of all times, where the header names one


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
    try:
        line, header, delimiter = _header(lines_of(text), file)
        names, zone = names_of(fields_of(header, delimiter))
        columns = columns_needed(names, file, line, units)
        table = _taken(row_chunks(text, delimiter, below=line), columns, names, file)
    except BrokenCsv as broken:
        raise broken.told(file) from None
    if not table.lines:
        raise GrowerError("there is a header but no reading.", file=file, line=line)
    return replace(table, zone=zone)


def _header(source: Iterator[str], file: str) -> tuple[int, str, str]:
    """Number, text and delimiter of the line that names the columns.

    That is the first that names all that is needed, within a page, for loggers that write about themselves
    first; where there is none, the first line that isn't blank or a comment.
    """
    first: tuple[int, str] | None = None
    line = 1
    for line, text in enumerate(source, start=1):
        if not text.strip() or text.startswith(("#", "sep=")):
            continue
        text = text.strip("\r\n")
        first = first or (line, text)
        if line > LONGEST_BLOCK:
            break
        delimiter = _delimiter(text)
        if delimiter and _enough({role for role, _ in map(_role, names_of(fields_of(text, delimiter))[0])}):
            return line, text, delimiter
    line, text = first or (line, "")
    delimiter = _delimiter(text)
    if delimiter is None:
        hint = 'A line above the readings names the columns, such as "date,tmin,tmax" or "time,temp".'
        raise GrowerError("no columns here.", hint=hint, file=file, line=line)
    return line, text, delimiter


def _delimiter(header: str) -> str | None:
    unquoted = re.sub(r'"[^"]*"', "", header)
    return next((mark for mark in "\t;," if mark in unquoted), None)


def names_of(header: Sequence[str]) -> tuple[list[str], str | None]:
    """Names of the columns, and the time zone that one of them gives."""
    fields = [name[:LONGEST_NAME] for name in header]
    zones = [zone[0].strip("()[], ") for name in fields if (zone := _ZONE.search(name))]
    return [name.strip() for name in fields], zones[0].upper() if zones else None


def _spelling(name: str) -> tuple[str, str | None]:
    """A header reduced to its letters, and the unit it names, if any."""
    name = name.casefold()
    unit = _UNIT.search(name)
    if unit:
        name = name[: unit.start()]
    return re.sub(r"[^a-z0-9]", "", name), f"deg{unit[1].upper()}" if unit else None


def _role(name: str) -> tuple[str | None, str | None]:
    """What a column holds, a key of HEADERS, and the unit it names, if any."""
    spelling, unit = _spelling(_ZONE.sub("", name))
    return next((role for role, spellings in HEADERS.items() if spelling in spellings), None), unit


def _enough(roles: set[str | None]) -> bool:
    return bool(roles & {"date", "time"}) and ("temp" in roles or {"tmin", "tmax"} <= roles)


def says_when(name: str) -> bool:
    """Whether a column of that name holds dates or times."""
    return _role(name)[0] in ("date", "time")


def columns_needed(names: list[str], file: str, line: int | None, units: str) -> dict[str, int]:
    """Position of each column that is needed, by role (a key of HEADERS); raises GrowerError."""
    columns: dict[str, int] = {}
    for position, name in enumerate(names):
        role, unit = _role(name)
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


def _needed(columns: dict[str, int], names: list[str], file: str, line: int | None) -> dict[str, int]:
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
    hint = f"Needed are date, tmin and tmax, or time and temp. Found: {listed(names[:MOST_NAMES], 'and')}."
    raise GrowerError(f"there is no {listed(lacking, 'and no')} column.", hint=hint, file=file, line=line)


def _taken(
    chunks: Iterator[tuple[Lines, Rows]], columns: dict[str, int], names: list[str], file: str
) -> LoggerTable:
    """The columns needed, of rows that aren't blank; raises InputErrors on rows of another width."""
    texts: dict[str, list[str]] = {role: [] for role in columns}
    kept, problems = array("q"), Problems(file)
    known: dict[str, str] = {}  # the same text is kept once: a record of a million rows has few temperatures
    day = next(iter(columns))
    for lines, rows in chunks:
        if set(map(len, rows)) != {len(names)} or not all([row[columns[day]] for row in rows]):
            lines, rows = _whole_rows(lines, rows, names, problems)
        for role, column in columns.items():
            taken = [row[column] for row in rows]
            alike = role != "time" or "date" in columns
            texts[role] += [known.setdefault(text, text) for text in taken] if alike else taken
        kept.extend(lines)
    problems.raise_if_any()
    headers = {role: names[column] for role, column in columns.items()}
    return LoggerTable(headers, texts, kept)


def _whole_rows(lines: Lines, rows: Rows, names: list[str], problems: Problems) -> tuple[Lines, Rows]:
    """Rows that aren't blank; shorter or longer ones are problems, unless all past the end is empty."""
    width = len(names)
    numbered = [
        (line, row)
        for line, row in zip(lines, rows, strict=True)
        if row and (row[0] or any(map(str.strip, row)))
    ]
    kept = []
    for line, row in numbered:
        if len(row) != width and (len(row) < width or any(map(str.strip, row[width:]))):
            hint = "A decimal comma needs another delimiter, such as a semicolon." if len(row) > width else ""
            problems.add(line, None, f"{len(row)} fields where the header has {width}.", hint)
        else:
            kept.append((line, row))
    return [line for line, _ in kept], [row for _, row in kept]
