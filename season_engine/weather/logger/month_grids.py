"""Tables of a year's days as grids: months across and days down, or days across and a month a line.

Each holds one of the day's two extremes, as its title, a line of names or a cell of the row says.
"""

from __future__ import annotations

import calendar
import itertools
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, lines_of
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.cells import Slip, cell
from season_engine.weather.logger.columns import Plan
from season_engine.weather.logger.faults import Faults
from season_engine.weather.logger.grid_lines import (
    Month,
    cells_of,
    days_across,
    layouts,
    month_of,
    months_across,
)
from season_engine.weather.logger.head import Head, name_unit
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import Layout, Numbered, is_rule
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.named_files import Told, told_by
from season_engine.weather.logger.sensors import outdoor_among, place_of
from season_engine.weather.logger.vocabulary import plain, says, tokens

_YEAR = re.compile(
    r"(?<![\d.,/-])((?:19|20)\d\d)(?!\d|[.,]\d|\s?(?:m|ft|hpa)\b)(?:\s?[-/\N{EN DASH}]\s?((?:19|20)?\d\d)(?!\d))?"
)
_FEWEST_ROWS, _FEWEST_VALUES = 3, 20
_LOOKED_AT = 400  # lines, among which the first grid begins
Day = tuple[int, int, int]


@dataclass
class Grid:
    """One grid, or all rows of one element: the cells of its days."""

    role: str  # "tmin", "tmax" or "" for neither
    title: str
    cells: dict[Day, tuple[str, int]] = field(default_factory=dict)  # text and line


@dataclass
class _Reader:
    """What the lines so far say."""

    file: str
    year: int | None
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


def month_grid(source: Callable[[], str], file: str, how: ReadAs) -> LoggerTable | None:
    """A text of such grids as a table of days; None where it holds none.

    Raises GrowerError, or InputErrors, where it can't be told what they hold.
    """
    try:
        if not _begins(itertools.islice(lines_of(source()), _LOOKED_AT)):
            return None
        lines = [(number, line.rstrip("\r\n")) for number, line in enumerate(lines_of(source()), start=1)]
    except BrokenCsv as broken:
        raise broken.told(file) from None
    told = told_by(file) if how.year is None else Told(how.year)
    reader = _Reader(file, told.year)
    for number, line in lines:
        if is_rule(line):
            reader.blank = True
        else:
            _take(reader, number, line)
            reader.blank = False
    if sum(len(grid.cells) for grid in reader.grids.values()) < _FEWEST_VALUES:
        return None
    return _table(reader, how)


def _begins(lines: Iterable[str]) -> bool:
    for line in lines:
        if any(
            months_across(cells) or days_across(cells)
            for one in layouts(line)
            if (cells := cells_of(line, one))
        ):
            return True
    return False


def _take(reader: _Reader, number: int, line: str) -> None:
    """Read a line: a header, a row, or anything else, which is a title or no reading."""
    for layout in layouts(line):
        cells = cells_of(line, layout)
        if (months := months_across(cells)) or (days := days_across(cells)):
            reader.layout, reader.months = layout, months
            reader.days = {} if months else days
            reader.names, reader.below, reader.in_rows = cells, [], False
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


def _heading(reader: _Reader, number: int, line: str) -> None:
    """A line that is no row: a title of what comes, or a mean below what was."""
    if reader.in_rows and sum(character.isdigit() for character in line) > 4 and not _YEAR.search(line):
        reader.left.append((number, line.strip()))
        return
    if reader.in_rows or reader.blank:
        reader.title, reader.in_rows = [], False
    reader.title.append(line)
    reader.about.append((number, line))
    _read_year(reader, line)


def _read_year(reader: _Reader, line: str) -> None:
    years = {(int(found[1]), found[2]) for found in _YEAR.finditer(line)}
    if len({year for year, _ in years}) == 1:
        reader.year, reader.last_month = next(iter(years))[0], None


def _names_extremes(cells: Sequence[str], months: dict[int, Month]) -> bool:
    """Whether a line under the months names what their columns hold."""
    named = [cell for cell in cells if says(cell, "minimum", "maximum")]
    return len(named) >= len(months) and not re.fullmatch(r"\d{1,2}\.?", next(filter(None, cells), ""))


def _month_row(reader: _Reader, cells: Sequence[str]) -> list[tuple[str, str, Day, str]] | None:
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


def _spread(reader: _Reader, width: int) -> dict[int, tuple[int, int, int]]:
    """Year and month of each column, a month with several columns spread over them, a year turned after December."""
    year, last = reader.year, None
    found: dict[int, tuple[int, int, int]] = {}
    starts = sorted(reader.months)
    for place, at in enumerate(starts):
        own, month = reader.months[at]
        if own is not None:
            year = own
        elif last is not None and month < last:
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


def _day_row(reader: _Reader, cells: Sequence[str]) -> list[tuple[str, str, Day, str]] | None:
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


def _before_days(reader: _Reader, before: Sequence[str]) -> tuple[int | None, int | None, list[str]]:
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


def _tells_year(reader: _Reader, before: Sequence[str]) -> bool:
    return _before_days(reader, before)[0] is not None


def _no_year(reader: _Reader) -> GrowerError:
    hint = "Write the year in which it begins under [site.weather], such as year = 2024."
    return GrowerError(
        "its months have no year.", hint=hint, file=reader.file, line=(reader.about or [(1, "")])[0][0]
    )


def _role(text: str) -> str:
    low, high = says(text, "minimum"), says(text, "maximum")
    return "" if low == high else "tmin" if low else "tmax"


def _title_role(reader: _Reader) -> str:
    """Which extreme the title says, its last line first."""
    return next((role for line in reversed(reader.title) if (role := _role(line))), "")


def _put(reader: _Reader, role: str, title: str, day: Day, text: str, line: int) -> None:
    grid = reader.grids.setdefault((role, _key(title)), Grid(role, title))
    if day[2] > calendar.monthrange(day[0], day[1])[1]:
        if _is_value(text):
            problem = f"there is no {day[2]}. of month {day[1]} in {day[0]}, and a reading of it."
            raise GrowerError(
                problem, hint="Look whether its columns stand right.", file=reader.file, line=line
            )
        return
    old = grid.cells.get(day)
    if old is not None and old[0] != text and _is_value(text):
        problem = f"{day[0]}-{day[1]:02d}-{day[2]:02d} is there twice, first on line {old[1]}, with other temperatures."
        raise GrowerError(problem, file=reader.file, line=line)
    if old is None or not _is_value(old[0]):
        grid.cells[day] = (text, line)


def _key(title: str) -> str:
    """A title without its years and months, which grids of one kind have each."""
    return " ".join(word for word in tokens(title) if not word.isdigit() and month_of(word) is None)


def _is_value(text: str) -> bool:
    try:
        return cell(text).number is not None
    except Slip:
        return True


# The table of days


def _table(reader: _Reader, how: ReadAs) -> LoggerTable:
    low, high = _chosen(reader, "tmin", how), _chosen(reader, "tmax", how)
    days = sorted(low.cells.keys() | high.cells.keys())
    _check_numbers(reader, (low, high))
    dates = [f"{year}-{month:02d}-{day:02d}" for year, month, day in days]
    texts = {"date": dates}
    for role, grid in (("tmin", low), ("tmax", high)):
        texts[role] = [grid.cells.get(day, ("", 0))[0] for day in days]
    lines = [(low.cells.get(day) or high.cells[day])[1] for day in days]
    names = ["date", _name(low), _name(high)]
    head = Head(names, ["", name_unit(names[1]), name_unit(names[2])], None, about=reader.about)
    left = [("summary", number, text) for number, text in reader.left]
    plan = Plan({"date": 0}, {"tmin": 1, "tmax": 2})
    return LoggerTable(
        reader.file,
        head,
        plan,
        reader.layout or Layout(","),
        texts,
        lines,
        left,
        last_line=lines[-1],
        dates="grid",
    )  # type: ignore[arg-type]


def _name(grid: Grid) -> str:
    """The last line of a title, with what stands beside the row."""
    return " ".join(grid.title.split())[-100:]


def _chosen(reader: _Reader, role: str, how: ReadAs) -> Grid:
    """The grid of an extreme of the air outdoors; raises GrowerError where none is, or several are."""
    grids = [grid for (one, _), grid in reader.grids.items() if one == role and _has_values(grid)]
    if (named := how.columns.get("tmin" if role == "tmin" else "tmax")) is not None:
        wanted = plain(str(named))
        grids = [grid for grid in grids if wanted in plain(_name(grid))]
    line = (reader.about or [(1, "")])[0][0]
    if not grids:
        what = "lowest" if role == "tmin" else "highest"
        hint = "A title over each table, or a word in its lines, says which it is, such as Min and Max."
        raise GrowerError(
            f"no table of the days' {what} temperatures.", hint=hint, file=reader.file, line=line
        )
    if named is None:
        grids = [grid for grid in grids if not says(_name(grid), "other")] or grids[:1]
    at = _outdoor([_name(grid) for grid in grids])
    if at is None or (named is None and _is_elsewhere(_name(grids[at]))):
        shown = listed([shortened(_name(grid)) for grid in grids], "and")
        hint = (
            f'Write which it is under [site.weather], such as columns = {{ {role} = "{_name(grids[0])}" }}.'
        )
        problem = (
            f"{shown} could be the {role} table." if len(grids) != 1 else f"the only {role} table is {shown}."
        )
        raise GrowerError(problem, hint=hint, file=reader.file, line=line)
    return grids[at]


def _is_elsewhere(name: str) -> bool:
    """Whether a title is of another quantity than the air's temperature, or of another place."""
    return place_of(name) == "elsewhere" or says(name, "other")


def _outdoor(names: Sequence[str]) -> int | None:
    if len(names) == 1:
        return 0
    kept = [at for at, name in enumerate(names) if place_of(name) != "elsewhere"]
    if len(kept) == 1:
        return kept[0]
    found = outdoor_among([names[at] for at in kept])
    return None if found is None else kept[found]


def _has_values(grid: Grid) -> bool:
    return any(_is_value(text) for text, _ in grid.cells.values())


def _check_numbers(reader: _Reader, grids: Sequence[Grid]) -> None:
    faults = Faults(reader.file)
    for text, line in _texts(grids):
        try:
            cell(text)
        except Slip:
            faults.add("no number", line, None, f'"{shortened(text)}" is not a number.')
    faults.raise_if_any()


def _texts(grids: Sequence[Grid]) -> Iterator[tuple[str, int]]:
    for grid in grids:
        yield from grid.cells.values()
