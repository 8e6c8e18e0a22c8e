"""What the columns of a logger's table hold, by the cells of its first rows."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from season_engine.weather.logger.cells import Slip, cell
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.layout import stamp_kind
from season_engine.weather.logger.vocabulary import says

_MOSTLY = 0.7  # share of a column's cells that make it one of a kind


@dataclass
class Kinds:
    """What the cells of each column are in the first rows."""

    head: Head
    rows: Sequence[Sequence[str]]
    width: int
    kinds: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        named = max((at + 1 for at, name in enumerate(self.head.names) if name), default=0)
        self.width = max([named, *map(len, self.rows)])
        self.kinds = [_kind([row[at] for row in self.rows if at < len(row)]) for at in range(self.width)]

    def texts(self, at: int) -> list[str]:
        """The column's cells, without blanks around them."""
        return [row[at].strip().strip("\"'") for row in self.rows if at < len(row)]

    def name(self, at: int) -> str:
        """A column's name with that of its group, as far as it has them."""
        return self.head.title(at)

    def told(self, at: int) -> str:
        """A column's name, with what the lines above say of it."""
        meaning = self.head.meanings.get(self.head.name(at), "")
        return f"{self.name(at)} {meaning}".strip() if meaning else self.name(at)

    def of(self, kind: str) -> list[int]:
        """Columns of a kind, those first that a header calls date or time."""
        found = [at for at, one in enumerate(self.kinds) if one == kind]
        return sorted(found, key=lambda at: not says(self.name(at), "date", "time"))

    def all_match(self, at: int, pattern: re.Pattern[str]) -> bool:
        """Whether nearly all cells of a column have a form."""
        filled = [text for text in self.texts(at) if text]
        return bool(filled) and sum(bool(pattern.fullmatch(text)) for text in filled) >= 0.9 * len(filled)


def _kind(texts: Sequence[str]) -> str:
    counts: Counter[str] = Counter()
    for text in texts:
        if not text.strip().strip("\"'"):
            continue
        counts[stamp_kind(text) or _value_kind(text)] += 1
    counts.pop("nothing", 0) if len(counts) > 1 else None
    if not counts:
        return "empty"
    if counts["stamp"] + counts["date"] >= _MOSTLY * counts.total() and counts["stamp"] * 2 > counts["date"]:
        return "stamp"
    kind, count = counts.most_common(1)[0]
    if kind == "word" and counts["number"] >= 0.1 * counts.total():  # readings, with many remarks among them
        return "number"
    return kind if count >= _MOSTLY * counts.total() or kind == "number" else "mixed"


def _value_kind(text: str) -> str:
    try:
        found = cell(text)
    except Slip:
        return "slip"
    return "number" if found.number is not None else "nothing" if found.empty else "word"


def numbers_in(texts: Sequence[str]) -> list[float]:
    """The numbers among a column's cells."""
    values = []
    for text in texts:
        try:
            number = cell(text).number
        except Slip:
            continue
        if number is not None:
            values.append(number)
    return values


def is_other(kinds: Kinds, at: int) -> bool:
    """Whether a column is of another quantity, by its name or unit."""
    return (
        says(kinds.told(at), "other")
        or kinds.head.unit(at) not in ("C", "F", "")
        or cell_unit(kinds, at) not in ("C", "F", "")
    )


def cell_unit(kinds: Kinds, at: int) -> str:
    """The unit that most cells of a column have; "" where they have none."""
    units = Counter(unit for text in kinds.texts(at) if (unit := _unit_in(text)))
    return units.most_common(1)[0][0] if units else ""


def _unit_in(text: str) -> str:
    try:
        found = cell(text)
    except Slip:
        return ""
    return found.unit if found.number is not None else ""
