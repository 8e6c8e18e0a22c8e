"""Texts whose lines are no rows of readings as they stand, laid out so that they are."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from season_engine.files.foreign_csv import BrokenCsv, fields_of
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.layout import SEPARATORS, stamp_kind
from season_engine.weather.logger.vocabulary import says

_LOOKED_AT, _SIGNS_LOOKED_AT = 40, 100_000  # lines and characters, among which a header stands
_FEWEST_DAYS, _FEWEST_RULED = 10, 3
_MOSTLY = 0.8
_NUMBER = r"[+-]?\d{1,3}(?:[.,]\d+)?"
_PAIR = re.compile(
    rf"(?<=[,;\t|])\"?\s*({_NUMBER})\s*(?:/|\.\.+|…|\s(?:to|bis|à|a|-|\N{{EN DASH}})\s)\s*({_NUMBER})"
    r"(\s?°?\s?[CF])?\s*\"?(?=[,;\t|]|$)"
)
_NAMED = re.compile(r"(?<![\w:/.-])([^\W\d]\w*)(?:=|: )\s*(-?[\d.,]*\d)(?:\s?(°?[CF]|%))?(?=[\s,;]|$)[,;]?")
_STAMP_END = " ,;:-[]"


def relaid(source: Callable[[], str]) -> Callable[[], str]:
    """The source of a text with a row a line; the same one where its lines are that already.

    Lines keep their numbers but where a table is turned, in which a line is a column, and where names before
    each value become a header.
    """
    start = source()[:_SIGNS_LOOKED_AT].splitlines()[:_LOOKED_AT]
    start = [line for line in start if line.strip()]
    for fits, lay in (
        (_all_quoted, _unquoted),
        (_ruled, _unruled),
        (_turned_from, _turned),
        (_holds_pairs, _pairs_apart),
        (_names, _under_names),
    ):
        if fits(start):
            return lambda lay=lay: lay(source())  # type: ignore[misc]
    return source


def _all_quoted(lines: Sequence[str]) -> bool:
    """Whether each line is one quoted text, in which the separators are."""
    quoted = all(line.strip()[:1] + line.strip()[-1:] == '""' and line.count('"') == 2 for line in lines)
    return quoted and len(lines) > 1 and any(mark in lines[-1] for mark in SEPARATORS)


def _unquoted(text: str) -> str:
    return text.replace('"', "")


# Bars between groups of columns


def _ruled(lines: Sequence[str]) -> bool:
    """Whether bars stand between groups of columns, in which blanks part the values: "| 26.2   5:40 |"."""
    rows = [line for line in lines if line.count("|") > 1 and any(map(str.isdigit, line))]
    grouped = [row for row in rows if any(map(_holds_several, row.split("|")))]
    return len(rows) >= _FEWEST_RULED and len(grouped) >= _MOSTLY * len(rows)


def _holds_several(cell: str) -> bool:
    """Whether a cell holds two values or more: a number, and behind a wide blank another, or a time."""
    words = re.split(r"\s{2,}", cell.strip())
    return (
        len(words) > 1
        and is_number(words[0])
        and any(is_number(word) or stamp_kind(word) == "clock" for word in words[1:])
    )


def _unruled(text: str) -> str:
    return text.replace("|", " ")


# Days across


def _turned_from(lines: Sequence[str]) -> int:
    """The number of the line, from 1, that is a header of dates; 0 where none is."""
    for number, line in enumerate(lines[:-1], start=1):
        mark = _mark(line)
        cells = [cell for cell in _cells(line, mark)[1:] if cell] if mark else []
        if len(cells) >= _FEWEST_DAYS and sum(stamp_kind(cell) == "date" for cell in cells) >= _MOSTLY * len(
            cells
        ):
            return number
    return 0


def _mark(line: str) -> str:
    return next((mark for mark in SEPARATORS if line.count(mark) >= _FEWEST_DAYS), "")


def _cells(line: str, mark: str) -> list[str]:
    try:
        return [cell.strip() for cell in fields_of(line, mark)]
    except BrokenCsv:
        return []


def _turned(text: str) -> str:
    """A table with its columns for lines: days that stood across stand below one another."""
    lines = [line for line in text.splitlines() if line.strip()]
    at = _turned_from(lines[:_LOOKED_AT]) - 1
    rows = [(line, _cells(line, _mark(lines[at]))) for line in lines[at:]]
    width = len(rows[0][1])
    table = [
        cells + [""] * (width - len(cells)) for _, cells in rows if 1 < len(cells) <= width and any(cells[1:])
    ]
    rest = [line for line, cells in rows if not (1 < len(cells) <= width and any(cells[1:]))]
    table[0][0] = "date"
    turned = ["\t".join(cells) for cells in zip(*table, strict=True) if any(cells)]
    return "\n".join([*lines[:at], *turned, *rest, ""])


# Both extremes in one cell


def _holds_pairs(lines: Sequence[str]) -> bool:
    """Whether a header names a column of both extremes, and each line below has a pair, in one order."""
    header = _pairs_header(lines)
    pairs = [found.groups()[:2] for line in lines[header:] if (found := _PAIR.search(line))]
    if not header or len(pairs) < _MOSTLY * len(lines[header:]) or not pairs:
        return False
    numbers = [[float(one.replace(",", ".")) for one in pair] for pair in pairs]
    minimum_first = _minimum_first(lines[header - 1])
    return all((low <= high) == minimum_first or low == high for low, high in numbers)


def _pairs_header(lines: Sequence[str]) -> int:
    """The number of the line, from 1, in which one cell names both extremes; 0 where none does."""
    for number, line in enumerate(lines[:-1], start=1):
        if any(says(cell, "minimum") and says(cell, "maximum") for cell in re.split(r"[,;\t|]", line)):
            return number
    return 0


def _minimum_first(line: str) -> bool:
    words = re.findall(r"[^\W\d_]+", line)
    extremes = [says(word, "minimum") for word in words if says(word, "minimum", "maximum")]
    return bool(extremes) and extremes[0]


def _pairs_apart(text: str) -> str:
    """The extremes of each pair in columns of their own, which stand first behind the others."""
    lines = text.splitlines()
    header = _pairs_header([*lines[:_LOOKED_AT], ""]) - 1
    mark = next(mark for mark in SEPARATORS if mark in lines[header])
    names = ("min", "max") if _minimum_first(lines[header]) else ("max", "min")
    lines[header] = mark.join(
        mark.join(names) if says(cell, "minimum") and says(cell, "maximum") else cell
        for cell in lines[header].split(mark)
    )
    for at in range(header + 1, len(lines)):
        lines[at] = _PAIR.sub(
            lambda found: f'"{found[1]}"{mark}"{found[2]}{found[3] or ""}"', lines[at], count=1
        )
    return "\n".join([*lines, ""])


# A name before each value


def _names(lines: Sequence[str]) -> tuple[str, ...]:
    """The names that stand before the values on nearly all lines, behind a time; none where they don't."""
    found = [tuple(one[1] for one in _NAMED.finditer(line)) for line in lines]
    names = max(set(found), key=found.count, default=())
    dated = [
        line for line, one in zip(lines, found, strict=True) if one == names and stamp_kind(_before(line))
    ]
    if not any(says(name, "temperature") for name in names) or len(dated) < max(3, _MOSTLY * len(lines)):
        return ()
    return names if len(set(names)) == len(names) else ()


def _before(line: str) -> str:
    found = _NAMED.search(line)
    return re.sub(r"^\w+=", "", line[: found.start()].strip(_STAMP_END)) if found else line


def _under_names(text: str) -> str:
    """The values below a header of their names; a line of another kind stays as it is."""
    lines = text.splitlines()
    names = _names([line for line in lines[:_LOOKED_AT] if line.strip()])
    laid = ["\t".join(["time", *names])]
    for line in lines:
        found = list(_NAMED.finditer(line))
        values = [f"{one[2]} {one[3] or ''}".strip() for one in found]
        laid.append("\t".join([_before(line), *values]) if tuple(one[1] for one in found) == names else line)
    return "\n".join([*laid, ""])
