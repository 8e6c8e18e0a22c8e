"""Lines of a logger's file that are no readings: remarks, means, cells without a number, a line cut short."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.weather.logger.cells import Slip, cell
from season_engine.weather.logger.faults import Faults
from season_engine.weather.logger.form import LeftKind, LinesLeft
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.rows import has_number
from season_engine.weather.logger.stamp_rows import Stamps
from season_engine.weather.logger.values import Values
from season_engine.weather.logger.vocabulary import is_month, says, tokens, weekdays
from season_engine.weather.series import BoolArray

_MOST_ABOUT = 60  # lines that a logger may write about itself and what happened, beside as many as readings
_TIMES = ("clock", "half", "hhmm", "hour", "minute", "second", "decimal_hour", "fraction")
_LETTERS = 3  # a word: so many or more


class Left:
    """Lines that are no reading, by kind."""

    def __init__(self, table: LoggerTable) -> None:
        self.file = table.file
        self.found: dict[LeftKind, list[tuple[int, str]]] = {}
        for kind, line, text in table.left:
            self.add(kind, line, text)

    def add(self, kind: LeftKind, line: int, text: str) -> None:
        """Note a line."""
        self.found.setdefault(kind, []).append((line, text))

    def told(self) -> list[LinesLeft]:
        """How many there are of each kind, and the first of them."""
        return [
            LinesLeft(
                kind,
                len({line for line, _ in places}),
                *min(places)[:1],
                self.file,
                shortened(min(places)[1]),
            )
            for kind, places in self.found.items()
        ]


def refuse_text(table: LoggerTable, left: Left, faults: Faults) -> None:
    """Raise GrowerError for a file most of whose lines are no readings: a text, or another table."""
    faults.raise_if_any()
    remarks = [place for kind in ("remark", "summary") for place in left.found.get(kind, ())]
    remarks += table.head.about
    if len(remarks) > len(table.lines) + _MOST_ABOUT:
        line, text = min(remarks)
        problem = f'most of its lines are no readings, such as "{shortened(text)}".'
        raise GrowerError(problem, hint="Is it the logger's file?", file=table.file, line=line)


def judge(table: LoggerTable, stamps: Stamps, columns: Sequence[Values], faults: Faults, left: Left) -> None:
    """Rows whose time can't be read: remarks, means of a month, and lines that look like readings."""
    whole = table.row_texts(stamps.wrong)
    for row, error in stamps.wrong.items():
        cells = whole.get(row, [])
        shown = " ".join(cell.strip() for cell in cells if cell.strip())
        said = " ".join(table.texts[role][row] for role in table.plan.when)
        number = any(not np.isnan(one.celsius[row]) or row in one.slips for one in columns)
        if not number:
            left.add("remark", table.lines[row], shown or said)
        elif _is_summary(_day_said(table, row), cells):
            left.add("summary", table.lines[row], shown or said)
        else:
            problem, hint = (*error.args, "")[:2]
            kind = "no date" if not said.strip() else re.sub(r'"[^"]*"', "", problem)
            faults.add(kind, table.lines[row], table.when_name, problem, hint)


def _day_said(table: LoggerTable, row: int) -> str:
    """What a row says of its day, the time of day aside."""
    roles = [role for role in table.plan.when if role not in _TIMES] or list(table.plan.when)
    return " ".join(table.texts[role][row] for role in roles)


def _is_summary(said: str, cells: Sequence[str]) -> bool:
    """Whether a line with numbers and no date is a mean, a sum or the like, told so by a word."""
    unknown = [cell for cell in ([said] if said.strip() else cells) if _has_word(cell)]
    if not unknown:
        return False
    if any(says(cell, "mean", "minimum", "maximum") for cell in unknown):
        return True
    return sum(part.isdigit() for part in tokens(said)) < 2


def _has_word(text: str) -> bool:
    return any(
        len(word) >= _LETTERS and not word.isdigit() and not is_month(word) and word not in weekdays()
        for word in tokens(text)
    )


def cut_short(table: LoggerTable, values: Values, role: str, left: Left) -> None:
    """A last value that was cut off within its digits is none."""
    at = table.plan.temps[role]
    if not (table.ends_open and table.lines[-1] == table.last_line and len(table.texts[role]) > 5):
        return
    cells = table.row_texts([len(table.lines) - 1]).get(len(table.lines) - 1, [])
    if len(cells) - 1 != at or at != max(table.plan.needed.values()):
        return
    decimals = Counter(_decimals(text) for text in table.texts[role][:-1] if has_number(text))
    if not decimals:
        return
    usual, times = decimals.most_common(1)[0]
    if (
        times >= 0.98 * decimals.total()
        and _decimals(table.texts[role][-1]) < usual
        and has_number(table.texts[role][-1])
    ):
        values.celsius[-1] = np.nan
        left.add("cut short", table.last_line, " ".join(cells))


def _decimals(text: str) -> int:
    try:
        return cell(text).decimals
    except Slip:
        return 0


def tell_empty(table: LoggerTable, columns: Sequence[Values], good: BoolArray, left: Left) -> None:
    """Rows with a time and without a temperature."""
    empty = np.all([np.isnan(one.celsius) for one in columns], axis=0) & good
    known = {line for kind in ("cut short", "flag") for line, _ in left.found.get(kind, [])}
    role = next(iter(table.plan.temps))
    for row in np.flatnonzero(empty).tolist():
        if table.lines[row] not in known:
            left.add("no value", table.lines[row], table.texts[role][row].strip())
