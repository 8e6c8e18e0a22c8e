"""Tables of a year's days as grids: months across and days down, or days across and a month a line.

Each holds one of the day's two extremes, as its title, a line of names or a cell of the row says.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, lines_of
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.cells import Slip, cell
from season_engine.weather.logger.columns import Plan
from season_engine.weather.logger.faults import Faults
from season_engine.weather.logger.form import LeftKind
from season_engine.weather.logger.grid_lines import (
    cells_of,
    days_across,
    layouts,
    months_across,
)
from season_engine.weather.logger.head import Head, name_unit
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import Layout, is_rule
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.marked_values import is_marked
from season_engine.weather.logger.month_grid_rows import Grid, GridReader, bare_month, is_value, take
from season_engine.weather.logger.named_files import Told, told_by
from season_engine.weather.logger.sensors import outdoor_among, place_of
from season_engine.weather.logger.vocabulary import plain, says

_FEWEST_VALUES = 20
_LOOKED_AT = 400  # lines, among which the first grid begins
_LOOKED_AT_SIGNS = 200_000


def month_grid(source: Callable[[], str], file: str, how: ReadAs) -> LoggerTable | None:
    """A text of such grids as a table of days; None where it holds none.

    Raises GrowerError, or InputErrors, where it can't be told what they hold.
    """
    try:
        text = source()
        if not _begins(itertools.islice(lines_of(text[:_LOOKED_AT_SIGNS]), _LOOKED_AT)):
            return None
        lines = [(number, line.rstrip("\r\n")) for number, line in enumerate(lines_of(text), start=1)]
    except BrokenCsv as broken:
        raise broken.told(file) from None
    told = told_by(file) if how.year is None else Told(how.year)
    reader = GridReader(file, told.year, how.year is None and told.year is not None)
    for number, line in lines:
        if is_rule(line):
            reader.blank = True
        else:
            take(reader, number, line)
            reader.blank = False
    if sum(len(grid.cells) for grid in reader.grids.values()) < _FEWEST_VALUES:
        return None
    return _table(reader, how)


def _begins(lines: Iterable[str]) -> bool:
    for line in lines:
        if any(
            months_across(cells) or months_across(list(map(bare_month, cells))) or days_across(cells)
            for one in layouts(line)
            if (cells := cells_of(line, one))
        ):
            return True
    return False


def _table(reader: GridReader, how: ReadAs) -> LoggerTable:
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
    left: list[tuple[LeftKind, int, str]] = [("summary", number, text) for number, text in reader.left]
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
    )


def _name(grid: Grid) -> str:
    """The last line of a title, with what stands beside the row."""
    return " ".join(grid.title.split())[-100:]


def _chosen(reader: GridReader, role: str, how: ReadAs) -> Grid:
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
    return any(is_value(text) for text, _ in grid.cells.values())


def _check_numbers(reader: GridReader, grids: Sequence[Grid]) -> None:
    faults = Faults(reader.file)
    for text, line in _texts(grids):
        try:
            cell(text)
        except Slip:
            if is_marked(text):
                continue
            faults.add("no number", line, None, f'"{shortened(text)}" is not a number.')
    faults.raise_if_any()


def _texts(grids: Sequence[Grid]) -> Iterator[tuple[str, int]]:
    for grid in grids:
        yield from grid.cells.values()
