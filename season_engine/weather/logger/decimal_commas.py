"""Commas that separate columns and decimals alike, where each line can be understood in one way only."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Sequence

import numpy as np

from season_engine.errors import GrowerError
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.layout import stamp_kind
from season_engine.weather.logger.vocabulary import plain, says

_WHOLE = re.compile(r"-?\d{1,5}")
_DIGITS = re.compile(r"\d{1,6}")
_MOST_COLUMNS = 14  # that are tried in every way
Rows = Sequence[Sequence[str]]


def joined(row: Sequence[str], places: frozenset[int], width: int) -> list[str] | None:
    """A row with its decimals put together again; None where it doesn't come out even."""
    row = [cell.strip() for cell in row]
    while len(row) > width and not row[-1]:
        row.pop()
    if len(row) == width and len(places) == 1:
        return row
    cells: list[str] = []
    at = 0
    for column in range(width):
        if at >= len(row):
            return None
        cell, at = row[at], at + 1
        if column in places and _WHOLE.fullmatch(cell):
            if at >= len(row) or not _DIGITS.fullmatch(row[at]):
                return None
            cell, at = f"{cell},{row[at]}", at + 1
        cells.append(cell)
    return cells if at == len(row) else None


def decimal_places(head: Head, rows: Rows, file: str) -> frozenset[int] | None:
    """The columns whose decimals stand behind a comma of their own; None where no row has too many cells.

    Raises GrowerError where rows may be understood in several ways.
    """
    width = len(head.names)
    while width and not head.names[width - 1].strip():
        width -= 1
    surplus = max(len(_trimmed(row)) for row in rows) - width
    if head.line is None or surplus <= 0 or width > _MOST_COLUMNS:
        return None
    first = (
        max((at for row in rows[:5] for at, cell in enumerate(row[:width]) if stamp_kind(cell)), default=0)
        + 1
    )
    free = [at for at in range(first, width) if not says(head.name(at), "row", "note")]
    ways = []
    for chosen in itertools.combinations(free, surplus):
        places = frozenset(chosen)
        told = [joined(row, places, width) for row in rows]
        if sum(row is not None for row in told) >= 0.99 * len(rows):
            ways.append((places, [row for row in told if row is not None]))
    likely = [(places, told) for places, told in ways if _makes_sense(head, told, places)] or ways
    columns = [at for at in free if not says(head.name(at), "other")] or free
    readings = {tuple(tuple(row[at] for at in columns) for row in told[:200]) for _, told in likely}
    if len(readings) == 1:
        return likely[0][0]
    if not ways:
        return None
    problem = (
        "commas stand both between the columns and before decimals, and the lines can be understood in "
        "several ways."
    )
    hint = "Export it with semicolons between the columns, or with decimal points."
    raise GrowerError(problem, hint=hint, file=file, line=head.line)


def _trimmed(row: Sequence[str]) -> list[str]:
    cells = list(row)
    while cells and not cells[-1].strip():
        cells.pop()
    return cells


def _makes_sense(head: Head, rows: Rows, places: frozenset[int]) -> bool:
    """Whether each quantity has values that it can have, and as many decimals in each line."""
    for at in range(len(head.names)):
        texts = [row[at] for row in rows if at < len(row) and re.fullmatch(r"-?\d+(?:,\d+)?", row[at])]
        if not texts or stamp_kind(texts[0]):
            continue
        values = np.array([float(text.replace(",", ".")) for text in texts])
        if at in places and len({len(text.partition(",")[2]) for text in texts if "," in text}) > 1:
            return False
        if not _possible(head, at)(values):
            return False
    return True


def _possible(head: Head, at: int) -> Callable[[np.ndarray], bool]:
    name, unit = plain(head.name(at)), head.unit(at)
    if unit.startswith("%") or re.search(r"hum|feucht|vlhk|wilg|fukt|%|rh", name):
        return lambda values: bool(values.max() <= 100 and values.min() >= 0 and np.median(values) >= 12)
    if unit == "v":
        return lambda values: bool(values.max() <= 30)
    if unit in ("hpa", "mbar"):
        return lambda values: bool(500 <= np.median(values) <= 1100)
    return lambda values: bool(np.abs(values).max() <= 150) if says(name, "temperature") else True
