"""A logger's table: the columns that are read, each row with its line, and the lines that are none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from season_engine.files.foreign_csv import BrokenCsv, lines_of
from season_engine.weather.logger.columns import Plan
from season_engine.weather.logger.form import DateForm, LeftKind
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.layout import Layout


@dataclass
class LoggerTable:
    """The columns that matter, as text, and what stood on lines that are no row."""

    file: str
    head: Head
    plan: Plan
    layout: Layout
    texts: dict[str, list[str]]  # role to one text a row
    lines: Sequence[int]  # line of each row in the file
    left: list[tuple[LeftKind, int, str]] = field(default_factory=list)  # kind, line and text of other lines
    last_line: int = 0  # the last that holds anything
    ends_open: bool = False  # the file ends within a line
    dates: DateForm | None = None  # how its dates are told, where no text of them is the file's own
    source: Callable[[], str] = str  # the file's text, which is had again where a line must be

    def name(self, role: str) -> str:
        """The header of a column, or what stands for it in a message."""
        at = self.plan.needed[role]
        return self.head.title(at) or f"column {self.head.number(at)}"

    @property
    def when_name(self) -> str:
        """The headers of the columns that say when."""
        return " and ".join(dict.fromkeys(self.name(role) for role in self.plan.when))

    def row_texts(self, rows: Iterable[int]) -> dict[int, list[str]]:
        """The cells of whole rows, read again; a data frame has none."""
        wanted: dict[int, list[int]] = {}
        for row in rows:
            wanted.setdefault(self.lines[row], []).append(row)
        found: dict[int, list[str]] = {}
        for number, line in enumerate(lines_of(self.source()), start=1):
            if number in wanted:
                try:
                    cells = self.layout.cells(line)
                except BrokenCsv:
                    cells = [line]
                found |= dict.fromkeys(wanted[number], cells)
        return found
