"""What differs between two folders of what was said: ``python -m tests.benchmarks.moved BEFORE AFTER``.

The folders are from `tests.benchmarks.said`. Exits 0 where they are the same to the byte, else 1. Tells which
files differ, by how many days the dates of windows moved, which verdicts and advice changed, and the largest
moves.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import sys
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from tests.benchmarks.said import DONE

JUDGED = {"site", "species", "job", "window", "season", "verdict", "today", "opens", "closes"}
DATES = tuple((end, quantile) for end in ("opens", "closes") for quantile in ("p10", "p50", "p90"))
KINDS = {"report.json": "reports"}  # the others are checks
LARGEST = 10
FILES_NAMED = 20
WIDTH = 110
Window = tuple[str, ...]  # site, species, job, window, tree


@dataclass(frozen=True)
class Move:
    """One date of one window in one file, before and after."""

    file: str
    window: Window
    date: tuple[str, str]  # end and quantile
    before: dt.date
    after: dt.date

    @property
    def days(self) -> int:
        return (self.after - self.before).days


@dataclass
class Found:
    """All that is told of two folders."""

    only_before: list[str] = field(default_factory=list)
    only_after: list[str] = field(default_factory=list)
    differ: list[str] = field(default_factory=list)
    same: int = 0
    moves: dict[str, list[Move]] = field(default_factory=lambda: {"checks": [], "reports": []})
    changed: Counter[tuple[str, str]] = field(default_factory=Counter)  # what, and from what to what
    keys: Counter[str] = field(default_factory=Counter)  # of judged windows, where the value differs
    judged: int = 0  # windows in both

    @property
    def identical(self) -> bool:
        return not (self.only_before or self.only_after or self.differ)


def files_in(folder: Path) -> dict[str, Path]:
    return {path.relative_to(folder).as_posix(): path for path in sorted(folder.rglob("*")) if path.is_file()}


def judged_in(document: Any) -> Iterator[tuple[Window, Mapping[str, Any]]]:
    """Every window judged anywhere in a JSON document, with what names it."""
    if isinstance(document, dict):
        if document.keys() >= JUDGED:
            names = (document.get(name) or "" for name in ("site", "species", "job", "window", "tree"))
            yield tuple(str(name) for name in names), document
        document = list(document.values())
    if isinstance(document, list):
        for part in document:
            yield from judged_in(part)


def between(before: Path, after: Path) -> Found:
    """Hold two folders against each other, file by file."""
    found = Found()
    old, new = files_in(before), files_in(after)
    found.only_before, found.only_after = sorted(old.keys() - new), sorted(new.keys() - old)
    for name in sorted(old.keys() & new):
        same = old[name].read_bytes() == new[name].read_bytes()
        found.same += same
        if not same:
            found.differ.append(name)
        if name.endswith(".json"):
            first = json.loads(old[name].read_text("utf-8") or "null")
            second = first if same else json.loads(new[name].read_text("utf-8") or "null")
            hold(name, dict(judged_in(first)), dict(judged_in(second)), found)
    return found


def hold(
    file: str, old: Mapping[Window, Mapping[str, Any]], new: Mapping[Window, Mapping[str, Any]], found: Found
) -> None:
    """Add to `found` what one file judges otherwise; a date is held against that of the same season only."""
    moves = found.moves[KINDS.get(Path(file).name, "checks")]
    found.changed["window", "given -> no more"] += len(old.keys() - new)
    found.changed["window", "not given -> given"] += len(new.keys() - old)
    for window in old.keys() & new:
        a, b = old[window], new[window]
        found.judged += 1
        found.keys.update(key for key in a.keys() | b.keys() if a.get(key) != b.get(key))
        for what in ("verdict", "today", "season"):
            if a[what] != b[what]:
                found.changed[what, f"{a[what]} -> {b[what]}"] += 1
        if a["season"] != b["season"]:
            continue
        for end, quantile in DATES:
            was, came = a[end][quantile], b[end][quantile]
            if was and came:
                days = dt.date.fromisoformat(was), dt.date.fromisoformat(came)
                moves.append(Move(file, window, (end, quantile), *days))
            elif was or came:
                gone = "a date -> none" if was else "none -> a date"
                found.changed[f"{end} {quantile}", gone] += 1


def distribution(days: Iterable[int]) -> list[float]:
    """Count, share unmoved [%], least, p10, p50, p90, most, mean of the absolute moves [days]."""
    moved = np.array(list(days), dtype=float)
    if not moved.size:
        return [0.0]
    spread = np.percentile(moved, (0, 10, 50, 90, 100))
    return [float(moved.size), 100 * float(np.mean(moved == 0)), *spread, float(np.mean(np.abs(moved)))]


def largest(moves: Iterable[Move], count: int = LARGEST) -> list[Move]:
    """The largest moves, the largest first, each window of a site once, whichever tree or file it is in."""
    first: dict[Window, Move] = {}
    for move in sorted(moves, key=lambda move: (-abs(move.days), move.file, move.window, move.date)):
        if move.days:
            first.setdefault(move.window[:-1], move)
    return list(first.values())[:count]


def lines(found: Found, *, all_files: bool) -> Iterator[str]:
    """The whole as plain text."""
    yield f"{found.same} files are the same, {len(found.differ)} differ"
    for told, names in (
        ("differs", found.differ),
        ("only before", found.only_before),
        ("only after", found.only_after),
    ):
        shown = names if all_files else names[:FILES_NAMED]
        yield from (f"  {told}: {name}" for name in shown)
        if len(shown) < len(names):
            yield f"  {told}: {len(names) - len(shown)} more (--files names all)"
    if found.identical:
        yield "The folders are the same to the byte."
        return
    yield f"\n{found.judged} windows judged in both. Keys that differ, in how many of them:"
    keys = ", ".join(f"{key} {count}" for key, count in found.keys.most_common()) or "none"
    yield from textwrap.wrap(keys, WIDTH, initial_indent="  ", subsequent_indent="  ")
    yield "\nMoves of dates within a season, in days (later is plus)"
    yield "                        count  unmoved   least    p10    p50    p90   most  mean abs"
    for kind, moves in found.moves.items():
        for date in DATES:
            count, *rest = distribution(move.days for move in moves if move.date == date)
            row = "{:7.1f}% {:7.0f} {:6.1f} {:6.1f} {:6.1f} {:6.0f} {:9.2f}".format(*rest) if rest else ""
            yield f"{kind:8} {' '.join(date):12} {count:7.0f} {row}"
    yield "\nWhat changed, and how often"
    pairs = [(what, pair, count) for (what, pair), count in sorted(found.changed.items()) if count]
    yield from (f"  {what:12} {pair:34} {count:6}" for what, pair, count in pairs)
    if not pairs:
        yield "  no verdict, no advice, no season, and no window came or went"
    yield f"\nThe {LARGEST} largest moves, each window once"
    for move in largest(move for moves in found.moves.values() for move in moves):
        window = ", ".join(name for name in move.window if name)
        dates = f"{' '.join(move.date):10} {move.before} -> {move.after}"
        yield f"  {move.days:+4} days  {dates}  {window}  ({move.file})"


def main() -> None:
    parser = argparse.ArgumentParser(description="Tell what differs between two folders of what was said.")
    parser.add_argument("before", type=Path)
    parser.add_argument("after", type=Path)
    parser.add_argument("--files", action="store_true", help="name every file that differs")
    asked = parser.parse_args()
    for folder in (asked.before, asked.after):
        if not (folder / DONE).is_file():
            parser.error(f"{folder} is no whole folder of tests.benchmarks.said: it has no {DONE}")
    found = between(asked.before, asked.after)
    sys.stdout.writelines(f"{line}\n" for line in lines(found, all_files=asked.files))
    sys.exit(not found.identical)


if __name__ == "__main__":
    main()
