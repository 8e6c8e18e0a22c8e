"""The columns that are needed, taken out of all lines of a logger's file, and the lines that don't fit."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import Lines, Rows, lines_of
from season_engine.files.problems import Problems
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.columns import Plan
from season_engine.weather.logger.decimal_commas import joined
from season_engine.weather.logger.form import LeftKind
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.layout import is_rule
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.shape import Shape
from season_engine.weather.logger.vocabulary import says

_OFTEN = 0.05  # share of the first rows with so many cells, that makes that no accident


class HeaderChanges(Exception):
    """From a line on the columns are others."""

    def __init__(self, line: int, source: Callable[[], str], how: ReadAs) -> None:
        self.line, self.source, self.how = line, source, how
        super().__init__(line)


class Taking:
    """Taking the columns needed out of all rows."""

    def __init__(
        self,
        shape: Shape,
        head: Head,
        plan: Plan,
        file: str,
        rows: Sequence[Sequence[str]],
        places: frozenset[int] | None,
        kind: str | None,
    ) -> None:
        self.is_row, self.kind, self.how = shape.is_row, kind, shape.how
        self.layout, self.head, self.plan, self.file, self.places = shape.layout, head, plan, file, places
        widths = Counter(map(len, rows))
        self.width = max(widths.most_common(1)[0][0], max(plan.needed.values()) + 1)
        self.widths = {width for width, count in widths.items() if count >= _OFTEN * len(rows)}
        self.texts: dict[str, list[str]] = {role: [] for role in plan.needed}
        self.kept = array("q")
        self.known: dict[str, str] = {}  # the same text is kept once: a million rows have few temperatures
        self.odd: list[tuple[int, list[str]]] = []
        self.left: list[tuple[LeftKind, int, str]] = []

    def table(self, text: str, source: Callable[[], str]) -> LoggerTable:
        """The whole table."""
        needed = self.plan.needed
        day = next(iter(needed.values()))
        shared = [
            role
            for role in needed
            if role not in ("stamp", "epoch", "days") and (role != "clock" or "date" in needed)
        ]
        last = 0
        for lines, rows in self.layout.chunks(text, self.head.below):
            if (
                self.places is not None
                or self.kind is not None
                or set(map(len, rows)) != {self.width}
                or not all([row[day] for row in rows])
            ):
                lines, rows = self._whole_rows(lines, rows)
            for role, column in needed.items():
                taken = [row[column] for row in rows]
                self.texts[role] += (
                    [self.known.setdefault(one, one) for one in taken] if role in shared else taken
                )
            self.kept.extend(lines)
            last = lines[-1] if len(lines) else last
        self._drop_headers(source)
        last = max([last, *(line for line, _ in self.odd)])
        ends_open = not text.endswith(("\n", "\r"))
        self._judge_odd(last)
        if not self.kept:
            raise GrowerError("there is a header but no reading.", file=self.file, line=self.head.line)
        table = LoggerTable(self.file, self.head, self.plan, self.layout, self.texts, self.kept, self.left)
        return replace(table, last_line=last, ends_open=ends_open, source=source)

    def _drop_headers(self, source: Callable[[], str]) -> None:
        """Take out the header where it comes again; raises HeaderChanges where it has other columns."""
        at = next(iter(self.plan.needed.values()))
        name, texts = self.head.name(at), self.texts[next(iter(self.plan.needed))]
        rows: list[int] = []
        while name and name in texts[(start := rows[-1] + 1 if rows else 0) :]:
            rows.append(texts.index(name, start))
        if not rows and not self.odd:
            return
        again = set(self._header_rows)
        lines = {self.kept[row]: row for row in rows}
        for number, line in enumerate(lines_of(source()), start=1) if rows else ():
            if number in lines:
                cells = self.layout.cells(line)
                self._check_header(number, cells, again, source)
                self.left.append(("header again", number, line.strip()))
        for number, cells in self.odd:
            if name and name in [cell.strip() for cell in cells]:
                self._check_header(number, cells, again, source)
        for row in reversed(rows):
            del self.kept[row]
            for column in self.texts.values():
                del column[row]

    def _check_header(
        self, line: int, cells: Sequence[str], again: set[tuple[str, ...]], source: Callable[[], str]
    ) -> None:
        if tuple(cell.strip() for cell in cells) not in again:
            raise HeaderChanges(line, source, self.how)

    def _whole_rows(self, lines: Lines, rows: Rows) -> tuple[Lines, Rows]:
        """Rows that aren't blank and hold all that is needed; the others are put aside."""
        kept: list[tuple[int, list[str]]] = []
        last = max(self.plan.needed.values())
        for line, row in zip(lines, rows, strict=True):
            if not any(cell.strip("\"' \x0c") for cell in row):
                continue
            if tuple(cell.strip() for cell in row) in self._header_rows:
                self.left.append(("header again", line, " ".join(row)))
                continue
            if self.kind is not None and row[0].strip() != self.kind and self.is_row(row):
                self.left.append(("other kind", line, " ".join(row)))
                continue
            told = row if self.places is None else joined(row, self.places, self.width) or row
            if self._fits(told, last):
                kept.append((line, told))
            else:
                self.odd.append((line, row))
        return [line for line, _ in kept], [row for _, row in kept]

    @property
    def _header_rows(self) -> set[tuple[str, ...]]:
        if not hasattr(self, "_headers"):
            self._headers = {tuple(cell.strip() for cell in row) for row in self.head.again}
        return self._headers

    def _fits(self, row: Sequence[str], last: int) -> bool:
        if len(row) == self.width:
            return True
        if (
            last < len(row) < self.width
        ):  # empty cells at the end are left out, if that is usual and shifts none
            return len(row) in self.widths and self.layout.separator is not None
        return len(row) > self.width and not any(cell.strip() for cell in row[self.width :])

    def _judge_odd(self, last_line: int) -> None:
        """Lines with too few or too many cells: no readings, or faults."""
        problems = Problems(self.file)
        temps = sorted(self.plan.temps.values())
        for line, row in self.odd:
            shown = " ".join(cell for cell in row if cell.strip())
            if is_rule(shown):
                continue
            if self.kept and line == last_line and len(row) < self.width and _begins_as_reading(row):
                self.left.append(("cut short", line, shown))
            elif not self.kept or (
                self.is_row(row) and any(at < len(row) and is_number(row[at]) for at in temps)
            ):
                hint = (
                    "A decimal comma needs another delimiter, such as a semicolon."
                    if len(row) > self.width
                    else ""
                )
                width = max(self.width, len(self.head.names))
                problems.add(line, None, f"{len(row)} fields where the header has {width}.", hint)
            else:
                self.left.append(
                    ("summary" if says(shown, "mean", "minimum", "maximum") else "remark", line, shown)
                )
        problems.raise_if_any()


def _begins_as_reading(row: Sequence[str]) -> bool:
    """Whether a line that is too short begins with digits, as dates and row numbers do."""
    return bool(row) and row[0].strip("\"' ")[:1].isdigit()
