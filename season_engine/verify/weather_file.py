"""weather.csv of a backtest: daily extremes of many sites, in millions of lines."""

from __future__ import annotations

import datetime as dt
import gzip
import io
import re
import zlib
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, delimiter_of, fields_of
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served
from season_engine.files.packed import Readable
from season_engine.files.problems import MOST_SHOWN, Problems
from season_engine.files.text import decoded, did_you_mean, read_content, shortened
from season_engine.verify.station_files import UnlistedSites, unlisted
from season_engine.weather.logger.cells import MISSING_CODES
from season_engine.weather.logger.values import COLDEST_C, HOTTEST_C
from season_engine.weather.series import BoolArray, DailySeries, FloatArray

if TYPE_CHECKING:
    from pandas import DataFrame, Series

COLUMNS = ("site", "date", "tmin", "tmax")
# What station files hold where there is no reading, in lower case.
MISSING_WORDS = (
    "",
    "-",
    "--",
    "---",
    "*",
    "?",
    "x",
    "m",
    "na",
    "n/a",
    "#n/a",
    "nan",
    "null",
    "none",
    "missing",
)
LINES_ABOVE = 2  # of the first row, counted from 0: the header, and lines count from 1
_GZIP = b"\x1f\x8b"
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_EPOCH = dt.date(1970, 1, 1)
_LINE = re.compile(r"line (\d+)")

IntArray = NDArray[np.int64]


def read_weather(path: Readable, names: Iterable[str]) -> tuple[dict[str, DailySeries], UnlistedSites | None]:
    """Daily extremes [degC] of each site of these names that the file has, and what is about others.

    Days without a line are missing. The file may be compressed by gzip. Raises GrowerError, or InputErrors
    with the lines that are wrong.
    """
    names = list(names)
    frame = _rows(path)
    problems = Problems(str(path))
    site, elsewhere = _sites(frame["site"], names, problems)
    day = _days(frame["date"], problems)
    values = np.array([_temperatures(frame[column], problems) for column in ("tmin", "tmax")])
    problems.raise_if_any()
    order = np.lexsort((day, site))
    order = order[site[order] >= 0]
    _refuse_days_given_twice(site[order], day[order], frame.index.to_numpy()[order], problems)
    starts = np.flatnonzero(np.diff(site[order], prepend=-1))
    series = {
        names[site[rows[0]]]: _series(day[rows], values[:, rows]) for rows in np.split(order, starts)[1:]
    }
    if not series:
        raise GrowerError("This file has no reading of any site in sites.csv.", file=path)
    return series, unlisted(path, elsewhere, names)


def _series(day: IntArray, values: FloatArray) -> DailySeries:
    """Days in order, with NaN in those that are not there."""
    whole = np.full((2, int(day[-1] - day[0]) + 1), np.nan)
    whole[:, day - day[0]] = values
    return DailySeries(day[:1].astype("datetime64[D]")[0].item(), *whole)


def _rows(path: Readable) -> DataFrame:
    """Rows that hold anything, indexed by their lines; temperatures as text where some aren't numbers."""
    import pandas

    content = _content(path)
    header, delimiter = _header(content, path)
    words = [form for word in MISSING_WORDS for form in (word, word.upper(), word.title())]

    def read(temperatures: str) -> DataFrame:
        return pandas.read_csv(
            io.BytesIO(content),
            header=0,
            names=header,
            sep=delimiter,
            dtype={"site": "category", "date": "category", "tmin": temperatures, "tmax": temperatures},
            skip_blank_lines=False,
            skipinitialspace=True,
            keep_default_na=False,
            na_values={"tmin": words, "tmax": words},
            encoding="utf-8-sig",
        )

    try:
        frame = read("float64")
    except UnicodeDecodeError:
        decoded(content, path)  # names the line
        raise
    except pandas.errors.ParserError as error:
        raise _broken(str(error), path) from None
    except ValueError:  # a word among the numbers: read as text, it can be found
        frame = read("str")
    if not isinstance(frame.index, pandas.RangeIndex):
        raise _broken("line 2", path)
    frame.index = pandas.RangeIndex(LINES_ABOVE, LINES_ABOVE + len(frame))
    empty = frame["tmin"].isna() & frame["tmax"].isna()
    for column in ("site", "date"):
        empty &= frame[column].isna() | (frame[column] == "")
    return frame[~empty]


def _broken(reason: str, path: Readable) -> GrowerError:
    found = _LINE.search(reason)
    hint = "Each line has a site, a date and two temperatures; quotes must be closed."
    return GrowerError(
        "This line can't be read.", hint=hint, file=path, line=int(found.group(1)) if found else None
    )


def _content(path: Readable) -> bytes:
    data = read_content(path)
    if not data.startswith(_GZIP):
        return data
    try:
        return gzip.decompress(data)
    except (OSError, EOFError, zlib.error) as error:
        raise GrowerError(f"This compressed file is damaged: {error}.", file=path) from None


def _header(content: bytes, path: Readable) -> tuple[list[str], str]:
    """Column names of the first line, and the delimiter between them."""
    line = decoded(content.partition(b"\n")[0], path)
    delimiter = delimiter_of(line)
    try:
        header = [name.strip().casefold() for name in fields_of(line.strip(), delimiter)]
    except BrokenCsv as broken:
        raise broken.told(path) from None
    problems = Problems(str(path))
    for name in header:
        if name not in COLUMNS:
            hint = did_you_mean(name, COLUMNS) or f"The columns are {', '.join(COLUMNS)}."
            problems.add(1, shortened(name) or None, f'"{shortened(name)}" is not a known column.', hint)
    for name in COLUMNS:
        if header.count(name) != 1:
            how = "is missing" if name not in header else "is there more than once"
            problems.add(1, name, f'The column "{name}" {how}.')
    problems.raise_if_any()
    return header, delimiter


def _sites(column: Series[Any], names: list[str], problems: Problems) -> tuple[IntArray, list[str]]:
    """Place of each row's site among the names, -1 for others; and the others' names, one a row."""
    spelt = {name.casefold(): place for place, name in enumerate(names)}
    written = [" ".join(str(name).split()) for name in column.cat.categories]
    place = np.array([*(spelt.get(name.casefold(), -1) for name in written), -1])
    code = column.cat.codes.to_numpy()
    nameless = np.array([*(not name for name in written), True])[code]
    _note(column, nameless, "The site is missing.", problems)
    return place[code], [written[one] for one in code[(place[code] < 0) & ~nameless].tolist()]


def _days(column: Series[Any], problems: Problems) -> IntArray:
    """Days since 1970, shape (rows,)."""
    dates = [_date(str(written)) for written in column.cat.categories]
    code = column.cat.codes.to_numpy()
    right = np.array([*(date is not None for date in dates), False])
    problem = f'"{{}}" is not a date from {FIRST_YEAR} to {LAST_YEAR}; write it like 2023-03-15.'
    _note(column, ~right[code], problem, problems)
    days = np.array([*((date or _EPOCH).toordinal() for date in dates), 0]) - _EPOCH.toordinal()
    return days[code]


def _date(written: str) -> dt.date | None:
    if not _DATE.fullmatch(written):
        return None
    try:
        date = dt.date.fromisoformat(written)
    except ValueError:
        return None
    return date if year_served(date.year) else None


def _temperatures(column: Series[Any], problems: Problems) -> FloatArray:
    """Values [degC], shape (rows,); NaN where there is no reading."""
    import pandas

    numbers = pandas.to_numeric(column, errors="coerce")
    _note(column, (numbers.isna() & column.notna()).to_numpy(), '"{}" is not a number.', problems)
    values = numbers.to_numpy(dtype=np.float64, copy=True)
    values[np.isin(values, list(MISSING_CODES))] = np.nan
    beyond = ~((values >= COLDEST_C) & (values <= HOTTEST_C)) & ~np.isnan(values)
    problem = f"{{}} degC is beyond anything measured in the open ({COLDEST_C:g} to {HOTTEST_C:g})."
    _note(column, beyond, problem, problems)
    return values


def _note(column: Series[Any], wrong: BoolArray, problem: str, problems: Problems) -> None:
    """Note a problem of some rows; `{}` stands for what is written there."""
    for row in np.flatnonzero(wrong)[: 10 * MOST_SHOWN].tolist():
        text = problem.format(shortened(str(column.iloc[row])))
        problems.add(int(column.index[row]), str(column.name), text)


def _refuse_days_given_twice(site: IntArray, day: IntArray, line: IntArray, problems: Problems) -> None:
    """Rows come in order of site and day; lines of one day are next to each other."""
    twice = np.flatnonzero((np.diff(site) == 0) & (np.diff(day) == 0))
    for row in twice[: 10 * MOST_SHOWN].tolist():
        date = _EPOCH + dt.timedelta(days=int(day[row]))
        text = f"This site has readings of {date} already, on line {line[row]}."
        problems.add(int(line[row + 1]), "date", text, "Keep the one that is right.")
    problems.raise_if_any()
