"""JSON as programs export readings: a record a line, lists of records or of columns, at any depth."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from season_engine.errors import GrowerError
from season_engine.files.text import listed
from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.layout import stamp_kind
from season_engine.weather.logger.wrappings.rows_as_text import as_text

_FEWEST = 3  # rows of a table
_DEEPEST = 12
_HEADERS = ("columns", "fields", "header", "headers", "names", "keys")
_LONGEST_ABOUT = 200


@dataclass
class Found:
    """Tables of records, and what stands beside them."""

    tables: list[list[dict[str, Any]]] = field(default_factory=list)
    about: list[str] = field(default_factory=list)


def json_text(content: bytes, file: str) -> bytes:
    """The one table in a JSON text as lines; a record's line is its number and one. Raises GrowerError."""
    found = Found()
    gather(_parsed(content, file), {}, found, 0)
    return found_text(found, file)


def found_text(found: Found, file: str) -> bytes:
    """The one table that was found as lines, below what is said beside it; raises GrowerError."""
    together: dict[frozenset[str], list[dict[str, Any]]] = {}
    for rows in found.tables:
        names = frozenset(name for row in rows for name in row)
        together.setdefault(names, []).extend(rows)
    tables = [rows for rows in together.values() if len(rows) >= _FEWEST and len(_names(rows)) > 1]
    if len(tables) != 1:
        shown = [" and ".join(_names(rows)[:2]) for rows in tables[:4]]
        problem = (
            f"there is more than one table in it: of {listed(shown, 'and')}." if tables else "no table in it."
        )
        hint = "Export the readings of the sensor outdoors alone, or as CSV."
        raise GrowerError(problem, hint=hint, file=file)
    columns = _names(tables[0])
    nameless = all(name.startswith("\x00") for name in columns)
    header = [] if nameless else [[name.strip("\x00") for name in columns]]
    return as_text([*header, *([row.get(name) for name in columns] for row in tables[0])], found.about)


def _names(rows: Sequence[Mapping[str, Any]]) -> list[str]:
    return list(dict.fromkeys(name for row in rows for name in row))


def _parsed(content: bytes, file: str) -> Any:
    try:
        return json.loads(content)
    except (ValueError, RecursionError) as whole:
        lines = [line for line in content.splitlines() if line.strip()]
        records = []
        for number, line in enumerate(lines, start=1):
            try:
                records.append(json.loads(line))
            except (ValueError, RecursionError):
                if number == len(lines) and len(records) >= _FEWEST:  # cut short as it was written
                    break
                at = getattr(whole, "lineno", 1) if number == 1 else number
                problem = "from this line on it is no JSON that can be read."
                raise GrowerError(problem, hint="Export it again, whole.", file=file, line=at) from None
        return records


def gather(node: Any, beside: dict[str, Any], found: Found, depth: int) -> None:
    """Put the tables at and below a node into `found`; `beside` is said of all of its rows."""
    if depth > _DEEPEST:
        return
    if isinstance(node, list):
        _gather_list(node, beside, found, depth)
    elif isinstance(node, dict):
        _gather_mapping(node, beside, found, depth)


def _gather_list(node: list[Any], beside: dict[str, Any], found: Found, depth: int) -> None:
    if all(isinstance(one, dict) for one in node) and not any(map(_holds_rows, node)):
        rows = [_flat(one) for one in node]
        found.tables.append([beside | row for row in _carried(rows)])
    elif len(node) >= _FEWEST and all(_is_row(one) for one in node) and len({len(one) for one in node}) == 1:
        _gather_rows(node, beside, found)
    else:
        for one in node:
            gather(one, beside, found, depth + 1)


def _gather_rows(node: list[list[Any]], beside: dict[str, Any], found: Found) -> None:
    """Rows without names: the first may hold them, or `columns` beside."""
    names = beside.pop("\x00columns", None)
    if names is None and all(isinstance(cell, str) and not cell[:1].isdigit() for cell in node[0]):
        names, node = node[0], node[1:]
    if names is None or len(names) != len(node[0]):
        names = [f"\x00{at}" for at in range(len(node[0]))]
    found.tables.append([beside | dict(zip(names, row, strict=True)) for row in node])


def _gather_mapping(node: dict[str, Any], beside: dict[str, Any], found: Found, depth: int) -> None:
    columns = {name: cells for name, cells in node.items() if _is_column(cells)}
    lengths = {len(cells) for cells in columns.values()}
    if len(columns) > 1 and len(lengths) == 1:
        rows = [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]
        found.tables.append([beside | row for row in rows])
        return
    if len(node) >= _FEWEST and all(name[:1].isdigit() for name in node):  # readings by their time
        rows = [
            {"time": name} | _flat(one if isinstance(one, dict) else {"value": one})
            for name, one in node.items()
        ]
        found.tables.append([beside | row for row in rows])
        return
    said = {name: one for name, one in node.items() if _is_scalar(one)}
    if depth == 0 or not beside:
        found.about += [f"{name}: {one}"[:_LONGEST_ABOUT] for name, one in said.items() if one is not None]
    inner = beside | (said if depth else {})
    header = next((node[name] for name in _HEADERS if _is_row(node.get(name))), None)
    if header is not None:
        inner["\x00columns"] = header
    starts: dict[str, int] = {}
    for name, one in node.items():
        if name.endswith("_units") or name in _HEADERS:
            continue
        starts[name] = before = len(found.tables)
        gather(one, dict(inner), found, depth + 1)
        units = node.get(f"{name}_units")
        if isinstance(units, dict):
            found.tables[before:] = [_with_units(rows, units) for rows in found.tables[before:]]
    _told_apart(found, starts)


def _told_apart(found: Found, starts: Mapping[str, int]) -> None:
    """Tables of several names get these as those of sensors: {"outdoor": [...], "kitchen": [...]}."""
    names = list(starts)
    ends = [*list(starts.values())[1:], len(found.tables)]
    holding = [(name, starts[name], end) for name, end in zip(names, ends, strict=True) if end > starts[name]]
    for name, start, end in holding if len(holding) > 1 else ():
        for at in range(start, end):
            found.tables[at] = [{"sensor": name} | row for row in found.tables[at]]


def _with_units(rows: list[dict[str, Any]], units: Mapping[str, Any]) -> list[dict[str, Any]]:
    return [
        {f"{name} ({units[name]})" if name in units else name: one for name, one in row.items()}
        for row in rows
    ]


def _carried(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What the first record alone says, such as its sensor, holds for those below."""
    later = {name for row in rows[1:] for name in row}
    first = rows[0].items() if len(rows) >= _FEWEST else ()
    more = {name: one for name, one in first if name not in later and _is_word(one)}
    return [more | row for row in rows] if more else rows


def _is_word(node: object) -> bool:
    """Whether a value may be a sensor's name: no number and no time."""
    return isinstance(node, str) and not is_number(node) and stamp_kind(node) is None


def _flat(node: Mapping[str, Any], before: str = "") -> dict[str, Any]:
    """A record without depth: the names of what is in it one behind another."""
    flat: dict[str, Any] = {}
    for name, one in node.items():
        if isinstance(one, dict):
            flat |= _flat(one, f"{before}{name} ")
        elif not isinstance(one, list):
            flat[f"{before}{name}"] = one
    return flat


def _holds_rows(record: Mapping[str, Any]) -> bool:
    """Whether a record has a list of rows within it, or columns."""
    return any(
        (isinstance(one, list) and any(isinstance(row, dict | list) for row in one))
        or (isinstance(one, dict) and _holds_rows(one))
        or _is_column(one)
        for one in record.values()
    )


def _is_scalar(node: object) -> bool:
    return not isinstance(node, dict | list)


def _is_row(node: object) -> bool:
    return isinstance(node, list) and len(node) > 1 and all(map(_is_scalar, node))


def _is_column(node: object) -> bool:
    return isinstance(node, list) and len(node) >= _FEWEST and all(map(_is_scalar, node))
