"""The year of dates that lack one: by the settings, a line above the readings, or the file's name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from season_engine.errors import GrowerError
from season_engine.weather.logger.carried import carry
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.named_files import dates_other_things, told_by

YEAR_SAID = re.compile(
    r"(?<![\d.,/-])((?:19|20)\d\d)(?!\d|[.,]\d|\s?(?:m|ft|hpa)\b)"
    r"(?:\s?[-/\N{EN DASH}]\s?(?:(?:19|20)?\d\d)(?!\d))?"
)
_HINT = "Write the year in which it begins under [site.weather], such as year = 2024."


def carried_down(table: LoggerTable, how: ReadAs) -> LoggerTable:
    """The table with what its dates lack: what a line above has, and the year; raises where none is told."""
    lacks_year = {"month", "day"} <= table.texts.keys() and not {"year", "date"} & table.texts.keys()
    if not lacks_year:
        carry(table.texts)
        return table
    told = how.year or year_said(line for _, line in table.head.about)
    year = told or told_by(table.file).year
    if year is None:
        raise GrowerError("its dates have no year.", hint=_HINT, file=table.file, line=table.head.line)
    when = {"year": table.plan.when["month"]} | table.plan.when
    table = replace(table, plan=replace(table.plan, when=when))
    table.texts["year"] = [str(year)] * len(table.lines)
    carry(table.texts)
    if (
        told is None and len(set(table.texts["year"])) > 1
    ):  # the file's name tells its first year, or its last
        raise GrowerError("its dates have no year.", hint=_HINT, file=table.file, line=table.head.line)
    return table


def year_said(lines: Iterable[str]) -> int | None:
    """The one year that lines name; None where they name none, or several."""
    titles = [line for line in lines if not dates_other_things(line)]
    years = {int(found[1]) for line in titles for found in YEAR_SAID.finditer(line)}
    return years.pop() if len(years) == 1 else None
