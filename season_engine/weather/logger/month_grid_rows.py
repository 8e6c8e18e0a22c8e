"""Lines of tables with months or days across, read one by one: titles, headers, and rows of readings."""

from __future__ import annotations

import calendar
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from season_engine.errors import GrowerError
from season_engine.weather.logger.cells import MISSING_CODES, Slip, cell
from season_engine.weather.logger.grid_lines import (
    Month,
    cells_of,
    days_across,
    layouts,
    month_of,
    months_across,
)
from season_engine.weather.logger.layout import Layout, Numbered
from season_engine.weather.logger.named_files import dates_other_things
from season_engine.weather.logger.vocabulary import says, tokens
from season_engine.weather.logger.years import YEAR_SAID

Day = tuple[int, int, int]


@dataclass
class Grid:
    """One grid, or all rows of one element: the cells of its days."""

    role: str  # "tmin", "tmax" or "" for neither
    title: str
    cells: dict[Day, tuple[str, int]] = field(default_factory=dict)  # text and line


@dataclass
class GridReader:
    """What the lines so far say."""

    file: str
    year: int | None
    year_by_name: bool = False  # that of the file
    grids: dict[tuple[str, str], Grid] = field(default_factory=dict)
    layout: Layout | None = None
    months: dict[int, Month] = field(default_factory=dict)
    days: dict[int, int] = field(default_factory=dict)
    names: list[str] = field(default_factory=list)  # of the columns of a header
    below: list[str] = field(default_factory=list)  # a line of names under that of the months
    title: list[str] = field(default_factory=list)
    about: Numbered = field(default_factory=list)
    left: list[tuple[int, str]] = field(default_factory=list)
    last_month: int | None = None
    day: int | None = None  # of the last row
    said: frozenset[str] = frozenset()  # words before the rows of that day
    in_rows: bool = False
    blank: bool = False  # whether the last line was


def take(reader: GridReader, number: int, line: str) -> None:
    """Read a line: a header, a row, or anything else, which is a title or no reading."""
    for layout in layouts(line):
        cells = cells_of(line, layout)
        months = months_across(cells) or months_across(bare := list(map(bare_month, cells)))
        if months or (days := days_across(cells)):
            if not months and any(says(cell, "hour", "time") for cell in cells[: min(days)]):
                return
            reader.layout, reader.months = layout, months
            reader.days = {} if months else days
            reader.names, reader.below, reader.in_rows = cells, [], False
            if months and not months_across(cells):
                reader.names, reader.below = bare, cells
            _read_year(reader, " ".join(cells[: min(months or days)]))
            return
    if reader.layout is None:
        _heading(reader, number, line)
        return
    cells = cells_of(line, reader.layout)
    if reader.months and not reader.in_rows and _names_extremes(cells, reader.months):
        reader.below = cells
        return
    row = _month_row(reader, cells) if reader.months else _day_row(reader, cells)
    if row is None:
        _heading(reader, number, line)
        return
    reader.in_rows = True
    for role, title, day, text in row:
        _put(reader, role, title, day, text, number)


def bare_month(cell: str) -> str:
    """A month's name without that of an extreme beside it."""
    return " ".join(word for word in re.split(r"[\s_]+", cell) if not says(word, "minimum", "maximum"))


def _heading(reader: GridReader, number: int, line: str) -> None:
    """A line that is no row: a title of what comes, or a mean below what was."""
    if reader.in_rows and sum(character.isdigit() for character in line) > 4 and not YEAR_SAID.search(line):
        reader.left.append((number, line.strip()))
        return
    if reader.in_rows or reader.blank:
        reader.title, reader.in_rows = [], False
    reader.title.append(line)
    reader.about.append((number, line))
    _read_year(reader, line)


def _read_year(reader: GridReader, line: str) -> None:
    years = set() if dates_other_things(line) else {int(found[1]) for found in YEAR_SAID.finditer(line)}
    if len(years) == 1:
        reader.year, reader.last_month, reader.year_by_name = years.pop(), None, False


def _names_extremes(cells: Sequence[str], months: dict[int, Month]) -> bool:
    """Whether a line under the months names what their columns hold."""
    named = [cell for cell in cells if says(cell, "minimum", "maximum")]
    return len(named) >= len(months) and not re.fullmatch(r"\d{1,2}\.?", next(filter(None, cells), ""))


def _month_row(reader: GridReader, cells: Sequence[str]) -> list[tuple[str, str, Day, str]] | None:
    """The readings of one day of all months; None for any other line."""
    first = min(reader.months)
    before = [cell for cell in cells[:first] if cell]
    numbers = [int(cell.rstrip(".")) for cell in before if re.fullmatch(r"\d{1,4}\.?", cell)]
    words = " ".join(cell for cell in before if not re.fullmatch(r"\d{1,4}\.?", cell))
    days = [number for number in numbers if 1 <= number <= 31]
    years = [number for number in numbers if 1850 <= number <= 2199]
    if not numbers and _role(words) and reader.day is not None and any(reader.said):
        days = [reader.day]  # the second line of a day, which only its first line names
    if len(days) != 1 or len(numbers) > 2 or (words and not _role(words)):
        return None
    if words and reader.day == days[0] and words in reader.said:
        return None  # a minimum of the month below its last day
    reader.said = reader.said | {words} if reader.day == days[0] else frozenset({words})
    reader.day = days[0]
    if years:
        reader.year = years[0]
    found = []
    for at, (year, month, _) in _spread(reader, len(cells)).items():
        text = cells[at] if at < len(cells) else ""
        label = reader.below[at] if at < len(reader.below) else ""
        role = _role(label) or _role(words) or _title_role(reader)
        title = " ".join([*reader.title, label, words]).strip()
        if text:
            found.append((role, title, (year, month, days[0]), text))
    return found


def _spread(reader: GridReader, width: int) -> dict[int, tuple[int, int, int]]:
    """Year and month of each column: a month may have several, and after December comes the next year."""
    year, last = reader.year, None
    found: dict[int, tuple[int, int, int]] = {}
    starts = sorted(reader.months)
    for place, at in enumerate(starts):
        own, month = reader.months[at]
        if own is not None:
            year = own
        elif last is not None and month < last:
            if reader.year_by_name:  # of the season's begin, or of its end
                raise _no_year(reader)
            year = None if year is None else year + 1
        last = month
        if year is None:
            raise _no_year(reader)
        end = (
            starts[place + 1] if place + 1 < len(starts) else (max(width, at + 1) if reader.below else at + 1)
        )
        columns = range(at, end) if reader.below else [at]
        for column in columns:
            label = reader.below[column] if column < len(reader.below) else ""
            if not reader.below or says(label, "minimum", "maximum"):
                found[column] = (year, month, column)
    return found


def _day_row(reader: GridReader, cells: Sequence[str]) -> list[tuple[str, str, Day, str]] | None:
    """The readings of one month; None for any other line."""
    first = min(reader.days)
    before = list(cells[:first])
    year, month, words = _before_days(reader, before)
    if not any(at < len(cells) and cells[at] for at in reader.days):
        return None
    if month is None and any(reader.said) and _role(" ".join(words)) and words[0] not in reader.said:
        month = reader.last_month  # the second line of a month, which only its first line names
    if month is None:
        return None
    year = year or reader.year
    if year is None:
        raise _no_year(reader)
    if month < (reader.last_month or 0) and not _tells_year(reader, before):
        if reader.year_by_name:
            raise _no_year(reader)
        year = reader.year = year + 1
    reader.said = reader.said | {*words} if month == reader.last_month else frozenset(words)
    reader.last_month = month
    label = " ".join(words)
    role = _role(label) or ("" if says(label, "other", "mean") else _title_role(reader))
    title = " ".join([*reader.title, label]).strip()
    return [
        (role, title, (year, month, day), cells[at])
        for at, day in reader.days.items()
        if at < len(cells) and cells[at]
    ]


def _before_days(reader: GridReader, before: Sequence[str]) -> tuple[int | None, int | None, list[str]]:
    """Year, month and other words that stand before a month's days."""
    year: int | None = None
    month: int | None = None
    words = []
    for at, text in enumerate(before):
        name = reader.names[at] if at < len(reader.names) else ""
        whole = re.fullmatch(r"\d{1,4}", text)
        if whole and len(text) == 4 and (says(name, "year") or 1850 <= int(text) <= 2199) and year is None:
            year = int(text)
        elif (
            whole
            and month is None
            and (says(name, "month") or not name or len(before) <= 2)
            and 1 <= int(text) <= 12
        ):
            month = int(text)
        elif (named := month_of(text)) is not None and month is None:
            year, month = named[0] or year, named[1]
        elif text and not whole:
            words.append(text)
    return year, month, words


def _tells_year(reader: GridReader, before: Sequence[str]) -> bool:
    return _before_days(reader, before)[0] is not None


def _no_year(reader: GridReader) -> GrowerError:
    hint = "Write the year in which it begins under [site.weather], such as year = 2024."
    return GrowerError(
        "its months have no year.", hint=hint, file=reader.file, line=(reader.about or [(1, "")])[0][0]
    )


def _role(text: str) -> str:
    low, high = says(text, "minimum"), says(text, "maximum")
    return "" if low == high else "tmin" if low else "tmax"


def _title_role(reader: GridReader) -> str:
    """Which extreme the title says, its last line first."""
    return next((role for line in reversed(reader.title) if (role := _role(line))), "")


def _put(reader: GridReader, role: str, title: str, day: Day, text: str, line: int) -> None:
    grid = reader.grids.setdefault((role, _key(title)), Grid(role, title))
    if day[2] > calendar.monthrange(day[0], day[1])[1]:
        if is_value(text) and not _is_code(text):
            problem = f"there is no {day[2]}. of month {day[1]} in {day[0]}, and a reading of it."
            raise GrowerError(
                problem, hint="Look whether its columns stand right.", file=reader.file, line=line
            )
        return
    old = grid.cells.get(day)
    if old is not None and old[0] != text and is_value(text):
        date = f"{day[0]}-{day[1]:02d}-{day[2]:02d}"
        problem = f"{date} is there twice, first on line {old[1]}, with other temperatures."
        raise GrowerError(problem, file=reader.file, line=line)
    if old is None or not is_value(old[0]):
        grid.cells[day] = (text, line)


def _key(title: str) -> str:
    """A title without its years and months, which grids of one kind have each."""
    return " ".join(word for word in tokens(title) if not word.isdigit() and month_of(word) is None)


def _is_code(text: str) -> bool:
    """Whether a cell holds a number that stands for none."""
    try:
        return cell(text).number in MISSING_CODES
    except Slip:
        return False


def is_value(text: str) -> bool:
    """Whether a cell holds a number, or what should be one."""
    try:
        return cell(text).number is not None
    except Slip:
        return True
