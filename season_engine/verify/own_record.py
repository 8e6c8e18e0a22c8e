"""The engine's own record: what each report said, one line a site and report, to be held against what came.

A line is a JSON object: the day the report is about, the day it was really written, the site, and one row a
window, laid out by `columns`. Lines are only ever added. A line torn by a power cut is counted, not read.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from season_engine.files.text import read_content
from season_engine.files.whole import append_whole
from season_engine.windows.assessment import Assessment, Quantiles

PLAIN_COLUMNS = (
    *("species", "job", "window", "tree", "season"),
    *("verdict", "today", "chance_given", "chance_open_now"),
)
COLUMNS = (
    *PLAIN_COLUMNS,
    *("opens_p10", "opens_p50", "opens_p90", "closes_p10", "closes_p50", "closes_p90", "usual", "markers"),
)
_SEASON = re.compile(r"[0-9]{4}/[0-9]{2}")


@dataclass(frozen=True, slots=True)
class Said:
    """What one report said of one window, for a species or, where `tree` is its id, for one tree."""

    species: str
    job: str
    window: str
    tree: str | None
    season: str  # such as 2026/27
    verdict: str
    today: str
    chance_given: float
    chance_open_now: float
    opens: Quantiles
    closes: Quantiles
    usual: dt.date | None  # middle opening over past seasons, in this season's calendar
    markers: Mapping[str, dt.date | None] = field(default_factory=dict)  # middle dates; none for a tree

    @property
    def key(self) -> tuple[str, str, str, str | None]:
        """Which window it is about, the same in every report."""
        return self.species, self.job, self.window, self.tree


@dataclass(frozen=True, slots=True)
class Statement:
    """One site's part of one report."""

    as_of: dt.date  # the day it is about
    written: dt.date  # the day it was really written
    site: str
    said: tuple[Said, ...]

    @property
    def foresight(self) -> bool:
        """Written on the day it is about; one of a past day, made later, foresaw nothing."""
        return self.written == self.as_of

    def by_key(self) -> dict[tuple[str, str, str, str | None], Said]:
        """What was said of each window and tree."""
        return {one.key: one for one in self.said}


@dataclass(frozen=True)
class OwnRecord:
    """Statements in order of their day; of several about a day the last, foresight apart from the others."""

    statements: tuple[Statement, ...] = ()
    torn: int = 0  # lines that could not be read

    def previous(self, as_of: dt.date, site: str) -> Statement | None:
        """The newest statement on a site from an ISO week before that of `as_of`, foresight before others."""
        monday = as_of - dt.timedelta(days=as_of.weekday())
        before = [one for one in self.statements if one.site == site and one.as_of < monday]
        return max(before, key=lambda one: (one.as_of, one.foresight), default=None)

    def foreseen(self, site: str) -> tuple[Statement, ...]:
        """The statements on a site that were written on their own day."""
        return tuple(one for one in self.statements if one.site == site and one.foresight)

    def lacks(self, statement: Statement) -> bool:
        """Whether to add it: not if it stands there, or if the week's report was made on an earlier day."""
        same = [
            one
            for one in self.statements
            if one.site == statement.site and one.foresight == statement.foresight
        ]
        if any((one.as_of, one.said) == (statement.as_of, statement.said) for one in same):
            return False
        week = statement.as_of.isocalendar()[:2]
        return not statement.foresight or not any(
            one.as_of < statement.as_of and one.as_of.isocalendar()[:2] == week for one in same
        )


def read_record(path: Path, on: dt.date) -> OwnRecord:
    """What reports about days up to `on` said; an empty record where there is no file.

    Raises GrowerError where the file can't be read.
    """
    if not path.exists():
        return OwnRecord()
    found: dict[tuple[dt.date, bool, str], Statement] = {}
    torn = 0
    for line in read_content(path).splitlines():
        if not line.strip():
            continue
        try:
            one = _statement(json.loads(line))
        except (ValueError, KeyError, TypeError, RecursionError):
            torn += 1
            continue
        if one.as_of <= on:
            found[one.as_of, one.foresight, one.site] = one
    return OwnRecord(tuple(found[key] for key in sorted(found)), torn)


def add_to_record(path: Path, record: OwnRecord, statements: Iterable[Statement]) -> None:
    """Add those of the statements that `record`, as read from `path`, lacks; raises OSError."""
    lines = [_line(one) for one in statements if record.lacks(one)]
    if lines:
        path.parent.mkdir(parents=True, exist_ok=True)
        append_whole(path, _end_of_torn_line(path) + "".join(lines))


def said_of(a: Assessment) -> Said:
    """What is kept of an assessment."""
    return Said(
        species=a.species,
        job=a.job,
        window=a.window,
        tree=a.tree,
        season=a.season,
        verdict=a.verdict,
        today=a.today,
        chance_given=round(a.chance_given, 4),
        chance_open_now=round(a.chance_open_now, 4),
        opens=a.opens,
        closes=a.closes,
        usual=a.usual.opens_p50,
        markers={} if a.tree else {reason.marker: reason.date_p50 for reason in a.reasons},
    )


def _end_of_torn_line(path: Path) -> str:
    if not path.exists() or not path.stat().st_size:
        return ""
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return "" if file.read() == b"\n" else "\n"


def _line(one: Statement) -> str:
    document = {
        "as_of": one.as_of.isoformat(),
        "written": one.written.isoformat(),
        "site": one.site,
        "columns": COLUMNS,
        "said": [_row(said) for said in one.said],
    }
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False) + "\n"


def _row(said: Said) -> list[Any]:
    dates = (said.opens, said.closes)
    return [
        *(said.species, said.job, said.window, said.tree, said.season, said.verdict, said.today),
        *(said.chance_given, said.chance_open_now),
        *(_text(date) for found in dates for date in (found.p10, found.p50, found.p90)),
        _text(said.usual),
        {name: _text(date) for name, date in said.markers.items()},
    ]


def _statement(document: Mapping[str, Any]) -> Statement:
    columns = document["columns"]
    rows = (dict(zip(columns, row, strict=True)) for row in document["said"])
    return Statement(
        dt.date.fromisoformat(document["as_of"]),
        dt.date.fromisoformat(document["written"]),
        str(document["site"]),
        tuple(_said(row) for row in rows),
    )


def _said(row: Mapping[str, Any]) -> Said:
    def quantiles(of: str) -> dict[str, Any]:
        return {name: row[f"{of}_{name}"] for name in ("p10", "p50", "p90")}

    kept = {name: row[name] for name in (*PLAIN_COLUMNS, "usual", "markers")}
    said = _shape_of_said().validate_python(
        {**kept, "opens": quantiles("opens"), "closes": quantiles("closes")}
    )
    if not _SEASON.fullmatch(said.season):
        raise ValueError(f'"{said.season}" is no season')
    return said


@cache
def _shape_of_said() -> TypeAdapter[Said]:
    return TypeAdapter(Said)


def _text(date: dt.date | None) -> str | None:
    return None if date is None else date.isoformat()
