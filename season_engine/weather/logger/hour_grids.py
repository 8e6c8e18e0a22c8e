"""Tables with a line a day and a column an hour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.weather.logger.columns import Plan, long_form, one_a_day
from season_engine.weather.logger.grid_lines import hours_across
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.how import ReadAs, Role
from season_engine.weather.logger.kinds import Kinds
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.sensors import place_of
from season_engine.weather.logger.vocabulary import plain, says
from season_engine.weather.logger.when import when_columns

_DATES = ("date", "year", "month", "day", "doy")


def hour_plan(head: Head, rows: Sequence[Sequence[str]], how: ReadAs, file: str) -> Plan | None:
    """The columns of a table with a column an hour; None for others, or where settings name the columns."""
    hours = hours_across(head.names)
    named = how.sensor is not None and plain(how.sensor.strip()) in map(plain, head.names)
    if not hours or named or {"temp", "tmin", "tmax"} & how.columns.keys():
        return None
    kinds = Kinds(head, rows, 0)
    for at in range(kinds.width):
        if at in hours or at > min(hours):  # means and extremes of the day stand behind its hours
            kinds.kinds[at] = "hours"
    given: dict[Role, int] = {}
    found = when_columns(kinds, given, how)
    if found and not one_a_day(kinds, found):  # many lines a day: as many sensors, T1 to T24
        return None
    when = {"date" if role == "stamp" else role: at for role, at in found.items()}
    when = {role: at for role, at in when.items() if role in _DATES}
    if not when:
        hint = "Write which it is under [site.weather], such as columns = { date = 1 }."
        raise GrowerError(
            "a column for each hour, and none for the date.", hint=hint, file=file, line=head.line
        )
    free = [at for at in range(kinds.width) if at not in when.values() and kinds.kinds[at] != "hours"]
    quantity, sensor, unit = long_form(kinds, free, given)
    return Plan(when, {"temp": min(hours)}, sensor, quantity, unit, hours=tuple(hours))


def _of_air(table: LoggerTable) -> LoggerTable:
    """The rows below headers whose title isn't of another quantity or place; raises where there are none."""
    above = [*table.head.about, *((line, text) for kind, line, text in table.left if kind == "remark")]
    starts = [table.head.line or 0, *(line for kind, line, _ in table.left if kind == "header again")]
    starts.sort()
    block = np.searchsorted(starts, np.asarray(table.lines)) - 1
    titles = [_title(above, start, table.lines) for start in starts]
    if not any(map(_is_elsewhere, titles)):
        return table
    rows = [row for row, at in enumerate(block.tolist()) if not _is_elsewhere(titles[max(at, 0)])]
    if not rows:
        problem = f'"{shortened(titles[0])}" is not the temperature of the air outdoors.'
        raise GrowerError(problem, hint="Is it the right file?", file=table.file, line=starts[0])
    texts = {role: [column[row] for row in rows] for role, column in table.texts.items()}
    return replace(table, texts=texts, lines=[table.lines[row] for row in rows])


def _title(above: Sequence[tuple[int, str]], start: int, lines: Sequence[int]) -> str:
    """The last line above a header, and below the readings before it."""
    last = max((line for line in lines if line < start), default=0)
    return max(((line, text) for line, text in above if last < line < start), default=(0, ""))[1]


def _is_elsewhere(title: str) -> bool:
    return (says(title, "other") and not says(title, "temperature")) or place_of(title) == "elsewhere"


def unfolded(table: LoggerTable) -> LoggerTable:
    """The table with a row a reading; a cell that holds nothing is none."""
    table = _of_air(table)
    hours = hours_across(table.head.names)
    columns = [
        (f"{minutes // 60:02d}:{minutes % 60:02d}", table.texts[f"hour {at}"])
        for at, minutes in hours.items()
    ]
    rows = [
        (row, clock, cells[row])
        for row in range(len(table.lines))
        for clock, cells in columns
        if cells[row].strip()
    ]
    kept = [role for role in table.texts if role != "temp" and not role.startswith("hour ")]
    texts = {role: [table.texts[role][row] for row, _, _ in rows] for role in kept}
    texts |= {"clock": [clock for _, clock, _ in rows], "temp": [text for _, _, text in rows]}
    names = list(table.head.names)
    names[min(hours)] = f"{names[min(hours)]} … {names[max(hours)]}"
    when = table.plan.when | {"clock": min(hours)}
    plan = replace(table.plan, when=when, hours=())
    lines = [table.lines[row] for row, _, _ in rows]
    return replace(
        table, head=replace(table.head, names=names), plan=plan, texts=texts, lines=lines, dates="grid"
    )
