"""How a logger's lines fall into cells: by a separator, by blanks, or by place."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from season_engine.files.foreign_csv import BrokenCsv, Lines, Rows, fields_of, lines_of, row_chunks
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.clocks import clock_time
from season_engine.weather.logger.dates import parts_of
from season_engine.weather.logger.vocabulary import is_month, plain

SAMPLE_LINES = 600
SEPARATORS = ("\t", ";", "|", ",")
NAMES = {"\t": "tab", ";": "semicolon", "|": "bar", ",": "comma", None: "blanks"}
_CHUNK = 1000
_CLOSELY, _SPARSELY = 60, 10  # of the first lines each is looked at, of the others every tenth
_NAMED_DATE = re.compile(
    r"(?<!\S)\d{1,2}\.? ([^\W\d_]{3,})\.? \d{4}(?!\S)|(?<!\S)([^\W\d_]{3,})\.? \d{1,2},? \d{4}(?!\S)"
)
_FRACTION_UNIT = re.compile(r"(?<!\S)(0[.,]0?1|1/100?) (?=°?(?:[CF]|mm)\b)")  # two words, one unit
_MISSING = re.compile(r"[-*?.#/_]*")
_TOKENS = re.compile(r"\S+")
_RULE = re.compile(r"[\s|+=\-_:;,.*#~]+")
_STEADY = 0.97  # share of lines with the same number of words, where blanks alone tell the columns apart
EPOCH = re.compile(r"1\d{9}(?:\.\d+)?|1\d{12}|1\d{15}|1\d{18}")
DAY_NUMBER = re.compile(r"[2-6]\d{4}(?:[.,]\d+)?")
YEAR = re.compile(r"(?:19|20)\d\d")

_LONGEST_CLOCK = 16
_NEARLY = 0.7  # as many lines as with another separator: the usual one is meant

Numbered = list[tuple[int, str]]  # lines with their numbers in the file
RowTest = Callable[[Sequence[str]], bool]  # whether the cells of a line are those of a reading


@lru_cache(maxsize=1 << 15)
def stamp_kind(text: str) -> str | None:
    """Whether a text is a "stamp" with date and time, a "date" or a "clock"; None for anything else."""
    said = text.strip().strip("\"'")
    if not said or len(said) > 60 or not any(letter.isdigit() for letter in said):
        return None
    from season_engine.weather.logger.stamps import halves

    date, time = halves(said)
    if parts_of(date) is not None:
        if not time:
            return "date"
        told = _is_clock(time) or (len(time) <= _LONGEST_CLOCK and time[:1].isdigit())
        return "stamp" if told else None
    if (":" in said or not is_number(said)) and _is_clock(said):
        return "clock"
    return None


def _is_clock(text: str) -> bool:
    try:
        clock_time(text)
    except ValueError:
        return False
    return True


def is_rule(line: str) -> bool:
    """Whether a line is one of dashes, or holds nothing at all."""
    return _RULE.fullmatch(line) is not None or not line.strip()


def reads_as_data(cells: Sequence[str]) -> bool:
    """Whether a line says when, and has a number, or a sign for none, beside that."""
    kinds = [stamp_kind(cell) for cell in cells]
    plain = [cell.strip().strip("\"'") for cell in cells]
    when = {place for place, kind in enumerate(kinds) if kind}
    dated = any(kind in ("stamp", "date") for kind in kinds)
    if not dated:
        for place, cell in enumerate(plain):
            if EPOCH.fullmatch(cell) or DAY_NUMBER.fullmatch(cell):
                when.add(place)
                dated = True
                break
            parts = [one for one in plain[place + 1 : place + 5] if re.fullmatch(r"\d{1,4}", one)]
            if YEAR.fullmatch(cell) and len(parts) >= 2:
                when |= {place, place + 1}
                dated = True
                break
            if re.fullmatch(r"\d{1,2}", cell) and place + 3 < len(plain) and YEAR.fullmatch(plain[place + 2]):
                when |= {place, place + 1, place + 2}
                dated = True
                break
    others = [cell for place, cell in enumerate(plain) if place not in when]
    return dated and any(is_number(cell) or (cell and _MISSING.fullmatch(cell)) for cell in others)


@dataclass(frozen=True)
class Layout:
    """How lines are split; `starts` and `ends` are places of columns on a line, where these count."""

    separator: str | None  # None: blanks
    spans: tuple[tuple[int, int], ...] = ()  # where columns stand, for blanks
    by_place: bool = False  # by `spans`, as cells may be blank

    def cells(self, line: str) -> list[str]:
        """The cells of one line; raises BrokenCsv."""
        line = line.rstrip("\r\n")
        if self.separator is not None:
            return fields_of(line, self.separator)
        line = glued(line)
        return self._placed(line) if self.by_place else line.split()

    def header_cells(self, line: str) -> list[str]:
        """The cells of a line above the readings, each over the column it stands over."""
        if self.separator is not None or not self.spans:
            return self.cells(line)
        line = _FRACTION_UNIT.sub(r"\1_", line)
        for words in (re.split(r"\s{2,}|\t", line.strip()), line.split()):
            if len(words) == len(self.spans):
                return words
        return self._placed(line, loosely=True)

    def _placed(self, line: str, *, loosely: bool = False) -> list[str]:
        """Words by the column they stand in; where one stands in two, the line is taken as words in a row."""
        cells: list[list[str]] = [[] for _ in self.spans]
        for word in _TOKENS.finditer(line):
            over = [
                at for at, (start, end) in enumerate(self.spans) if word.start() < end and word.end() > start
            ]
            if len(over) == 1 or (loosely and over):
                cells[max(over, key=lambda at: self._overlap(word, at))].append(word[0])
            elif loosely:
                cells[min(range(len(self.spans)), key=lambda at: self._gap(word, at))].append(word[0])
            else:
                return line.split()
        return [" ".join(words) for words in cells]

    def _overlap(self, word: re.Match[str], at: int) -> int:
        start, end = self.spans[at]
        return min(end, word.end()) - max(start, word.start())

    def _gap(self, word: re.Match[str], at: int) -> int:
        start, end = self.spans[at]
        return max(start - word.end(), word.start() - end)

    def chunks(self, text: str, below: int) -> Iterator[tuple[Lines, Rows]]:
        """Rows below so many lines, many at a time, each with its line; raises BrokenCsv."""
        if self.separator is not None:
            yield from row_chunks(text, self.separator, below=below)
            return
        numbered = enumerate(itertools.islice(lines_of(text), below, None), start=below + 1)
        while chunk := list(itertools.islice(numbered, _CHUNK)):
            yield range(chunk[0][0], chunk[-1][0] + 1), [self.cells(line) for _, line in chunk]


def glued(line: str) -> str:
    """A line of the same length whose date is one word: "3 Apr 2025" is "3-Apr-2025"."""
    found = _NAMED_DATE.search(line)
    if found is None or not any(is_month(plain(word)) for word in found.groups() if word):
        return line
    return line[: found.start()] + re.sub(r"[\s,.]", "-", found[0]) + line[found.end() :]


def sample(text: str) -> Numbered:
    """The first lines that hold anything; raises BrokenCsv."""
    numbered = itertools.dropwhile(lambda one: not one[1].strip(), enumerate(lines_of(text), start=1))
    lines = itertools.islice(numbered, SAMPLE_LINES)
    return [(number, line.rstrip("\r\n")) for number, line in lines if line.strip()]


def layout_of(lines: Numbered, is_row: RowTest = reads_as_data) -> Layout:
    """The layout in which most lines read as data: a tab before a semicolon, bar, comma, and blanks last."""
    some = lines[:_CLOSELY] + lines[_CLOSELY::_SPARSELY]
    counted = [
        (sum(is_row(cells_or_none(layout, line)) for _, line in some), layout)
        for layout in map(Layout, SEPARATORS)
        if any(layout.separator in line for _, line in some if layout.separator)
    ]
    if max((count for count, _ in counted), default=0) * 2 < len(some):
        blanks = _by_blanks(lines, is_row)
        counted += [(sum(is_row(layout.cells(line)) for _, line in some), layout) for layout in blanks]
    enough = _NEARLY * max((count for count, _ in counted), default=0)
    return next((layout for count, layout in counted if count and count >= enough), Layout(","))


def cells_or_none(layout: Layout, line: str) -> list[str]:
    """The cells of a line; none where it can't be split."""
    try:
        return layout.cells(line)
    except BrokenCsv:
        return []


def _by_blanks(lines: Numbered, is_row: RowTest) -> list[Layout]:
    """Layouts by blanks that lines without separators may have."""
    whole = [glued(line) for _, line in lines]
    data = [line for line in whole if is_row(line.split()) or is_row(_wide_cells(line))]
    if len(data) < 2 or any("\t" in line for line in data[:5]):
        return []
    widths = Counter(len(line.split()) for line in data)
    width, times = widths.most_common(1)[0]
    placed = _columns_by_place(data)
    found = [Layout(None, placed, by_place=True)] if placed else []
    if times >= _STEADY * len(data) and len(placed) != width:
        rows = [list(_TOKENS.finditer(line)) for line in data]
        rows = [row for row in rows if len(row) == width]
        places = [
            (min(row[at].start() for row in rows), max(row[at].end() for row in rows)) for at in range(width)
        ]
        found.insert(0, Layout(None, tuple(places)))
    return found


def _wide_cells(line: str) -> list[str]:
    return re.split(r"\s{2,}", line.strip())


def _columns_by_place(data: Sequence[str]) -> tuple[tuple[int, int], ...]:
    """Runs of places on a line where some line has a letter, between places where none has one."""
    taken = [False] * max(map(len, data))
    for line in data:
        for word in _TOKENS.finditer(line):
            taken[word.start() : word.end()] = [True] * (word.end() - word.start())
    spans, start = [], None
    for place, full in enumerate([*taken, False]):
        if full and start is None:
            start = place
        elif not full and start is not None:
            spans.append((start, place))
            start = None
    return tuple(spans) if len(spans) > 1 else ()
