"""The tables of a logger's file: one, or where its columns change, several."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, lines_of
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.columns import Plan, plan_of
from season_engine.weather.logger.dates import FORMAT_HINT
from season_engine.weather.logger.decimal_commas import decimal_places, joined
from season_engine.weather.logger.extreme_rows import paired
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.hour_grids import hour_plan, unfolded
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.kinds_of_lines import kind_of
from season_engine.weather.logger.layout import cells_or_none, is_rule
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.shape import Shape, lacks_only_a_year, shape_of
from season_engine.weather.logger.taking import HeaderChanges, Taking
from season_engine.weather.logger.vocabulary import says
from season_engine.weather.logger.years import carried_down

_MANY_ABOVE = 3  # lines above the first reading that look like readings: fewer may be titles


def read_tables(source: Callable[[], str], file: str, how: ReadAs) -> list[LoggerTable]:
    """The tables of a file: one, or where its columns change, one for each header; raises as `read_table`."""
    try:
        return [read_table(source, file, how)]
    except HeaderChanges as change:
        above, below = (
            partial(_lines_from, change.source, 1, change.line),
            partial(_lines_from, change.source, change.line, None),
        )
        return [*read_tables(above, file, change.how), *read_tables(below, file, change.how)]


def _lines_from(source: Callable[[], str], first: int, end: int | None) -> str:
    """Lines of a text up to another, with blank ones before so that each keeps its number."""
    lines = list(lines_of(source()))
    return "\n" * (first - 1) + "".join(lines[first - 1 : None if end is None else end - 1])


def read_table(source: Callable[[], str], file: str, how: ReadAs) -> LoggerTable:
    """Find the columns of a text and take them out; raises GrowerError, InputErrors or HeaderChanges."""
    try:
        shape = shape_of(source, file, how)
        if shape.head is None:
            raise _no_data(shape, file)
        return _taken(shape, shape.head, file)
    except BrokenCsv as broken:
        raise broken.told(file) from None


def _taken(shape: Shape, head: Head, file: str) -> LoggerTable:
    """The columns of a text that are needed."""
    kind = kind_of(shape.rows, shape.how, file)
    rows = [row for row in shape.rows if kind is None or row[0].strip() == kind]
    places = decimal_places(head, rows, file) if shape.layout.separator == "," else None
    if places is not None:
        width = len(head.names)
        rows = [row for one in rows if (row := joined(one, places, width)) is not None]
    hours = hour_plan(head, rows, shape.how, file)
    plan = hours or plan_of(head, rows, shape.how, file)
    _refuse_readings_above(head, plan, shape, file)
    table = Taking(shape, head, plan, file, rows, places, kind).table(shape.text, shape.source)
    table = carried_down(table, shape.how)
    return unfolded(table) if hours else paired(table)


def _refuse_readings_above(head: Head, plan: Plan, shape: Shape, file: str) -> None:
    """Raise GrowerError for lines above the first reading that are readings but for their date."""
    when, temps = next(iter(plan.when.values())), plan.temps.values()
    lost = []
    for line, text in head.about:
        cells = cells_or_none(shape.layout, text)
        if len(cells) > max(when, *temps) and all(is_number(cells[at]) for at in temps):
            lost += [(line, cells[when])] if any(map(str.isdigit, cells[when])) else []
    if len(lost) >= _MANY_ABOVE:
        line, shown = lost[0]
        problem = f'"{shortened(shown)}" is not a date I can read.'
        raise GrowerError(problem, hint=FORMAT_HINT, file=file, line=line, field=head.name(when) or None)


def _no_data(shape: Shape, file: str) -> GrowerError:
    """What is wrong with a file in which no line reads as a reading."""
    lines, layout = shape.lines, shape.layout
    if lacks_only_a_year(shape.text, file):
        hint = "Write the year in which it begins under [site.weather], such as year = 2024."
        return GrowerError("its dates have no year.", hint=hint, file=file, line=lines[0][0])
    kinds = ("date", "time", "temperature", "minimum", "maximum")
    named = next((at for at, (_, line) in enumerate(lines) if says(line, *kinds) and not is_rule(line)), None)
    if named is None or not any(mark in lines[named][1] for mark in ",;\t| "):
        line = lines[0][0] if lines else 1
        hint = 'A line above the readings names the columns, such as "date,tmin,tmax" or "time,temp".'
        return GrowerError("no columns here.", hint=hint, file=file, line=line)
    number, header = lines[named]
    rows = [(at, line) for at, line in lines[named + 1 :] if not is_rule(line)]
    if not rows:
        return GrowerError("there is a header but no reading.", file=file, line=number)
    names = [name.strip() for name in layout.cells(header)]
    when = next((at for at, name in enumerate(names) if says(name, "date", "time")), None)
    if when is None:
        hint = f"Needed are date, tmin and tmax, or time and temp. Found: {listed(names[:20], 'and')}."
        return GrowerError('there is no "date" column.', hint=hint, file=file, line=number)
    first = [*layout.cells(rows[0][1]), *[""] * len(names)]
    shown = first.pop(when).strip()
    if shown and not any(map(str.strip, first)):
        return GrowerError("no line has a temperature.", file=file, line=rows[0][0])
    problem = f'"{shortened(shown)}" is not a date I can read.' if shown else "no date."
    hint = f'{FORMAT_HINT} Where the header has other names: columns = {{ time = "...", temp = "..." }}.'
    return GrowerError(problem, hint=hint, file=file, line=rows[0][0], field=names[when])
