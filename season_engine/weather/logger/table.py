"""A logger's table: the columns that are read, each row with its line, and the lines that are none."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, Lines, Rows, lines_of
from season_engine.files.problems import Problems
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.carried import carry
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.columns import Plan, plan_of
from season_engine.weather.logger.dates import FORMAT_HINT
from season_engine.weather.logger.decimal_commas import decimal_places, joined
from season_engine.weather.logger.form import LeftKind
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.kinds_of_lines import kind_of
from season_engine.weather.logger.layout import Layout, is_rule
from season_engine.weather.logger.shape import Shape, lacks_only_a_year, shape_of
from season_engine.weather.logger.vocabulary import says

_OFTEN = 0.05  # share of the first rows with so many cells, that makes that no accident


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
    source: Callable[[], str] = str  # the file's text, which is had again where a line must be

    def name(self, role: str) -> str:
        """The header of a column, or what stands for it in a message."""
        at = self.plan.needed[role]
        return self.head.title(at) or f"column {at + 1}"

    @property
    def when_name(self) -> str:
        """The headers of the columns that say when."""
        return " and ".join(dict.fromkeys(self.name(role) for role in self.plan.when))

    def row_texts(self, rows: Iterable[int]) -> dict[int, list[str]]:
        """The cells of whole rows, read again; a data frame has none."""
        wanted = {self.lines[row]: row for row in rows}
        found = {}
        for number, line in enumerate(lines_of(self.source()), start=1):
            if number in wanted:
                try:
                    found[wanted[number]] = self.layout.cells(line)
                except BrokenCsv:
                    found[wanted[number]] = [line]
        return found


class HeaderChanges(Exception):
    """From a line on the columns are others."""

    def __init__(self, line: int, source: Callable[[], str], how: ReadAs) -> None:
        self.line, self.source, self.how = line, source, how
        super().__init__(line)


def read_tables(source: Callable[[], str], file: str, how: ReadAs) -> list[LoggerTable]:
    """The tables of a file: one, or where its columns change, one for each header; raises as `read_table`."""
    try:
        return [read_table(source, file, how)]
    except HeaderChanges as change:
        above, below = (
            partial(_lines_from, change.source, 1, change.line),
            partial(_lines_from, change.source, change.line, None),
        )
        return [read_table(above, file, change.how), *read_tables(below, file, change.how)]


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
    plan = plan_of(head, rows, shape.how, file)
    table = _Taking(shape, head, plan, file, rows, places, kind).table(shape.text, shape.source)
    carry(table.texts)
    return table


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


class _Taking:
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
