"""Spoil inputs for so many seconds and tell what isn't held: ``python -m tests.fuzz.run 300 [seed]``.

Held is a file read, or an error in a grower's words that fits a screen. Anything else is a fault of ours:
another exception, words a terminal would obey, more than five seconds, or a file left half written.
"""

from __future__ import annotations

import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from random import Random

from season_engine.errors import GrowerError, InputErrors
from tests.fuzz.calls import one_call
from tests.fuzz.spoiling import spoilt
from tests.fuzz.targets import Target, targets

SLOWEST_S = 5.0
LONGEST_LINE = 1500  # characters of one error: a list of all groups is longest


@dataclass
class Found:
    """What came of it."""

    tried: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)
    broken: dict[str, str] = field(default_factory=dict)  # one trail for each place in the code
    slowest: tuple[float, str] = (0.0, "")


def spoil_files(
    found: Found, names: Iterable[tuple[int, str]], all_targets: dict[str, Target], seed: int
) -> None:
    """Try one spoilt file for each number and kind."""
    for number, name in names:
        target = all_targets[name]
        content = spoilt(Random(f"{seed} {number} {name}"), target.good, target.ways)
        found.tried[name] += 1
        start = time.perf_counter()
        with tempfile.TemporaryDirectory() as folder:
            try:
                target.read(content, Path(folder))
            except GrowerError as error:
                found.refused[name] += 1
                _look_at_words(found, f"{name}, number {number}", error)
            except target.refuses:
                found.refused[name] += 1
            except Exception as error:
                last = traceback.extract_tb(error.__traceback__)[-1]
                place = f"{name}: {type(error).__name__} at {last.filename}:{last.lineno}"
                found.broken.setdefault(place, f"number {number}\n{traceback.format_exc()}")
            left = [path.name for path in Path(folder).iterdir() if path.name.startswith(".")]
            if left:
                found.broken.setdefault(f"{name}: left {left}", f"number {number}")
        took = time.perf_counter() - start
        found.slowest = max(found.slowest, (took, f"{name}, number {number}"))
        if took > SLOWEST_S:
            found.broken.setdefault(f"{name}: slow", f"number {number}: {took:.1f} s")


def _look_at_words(found: Found, where: str, error: GrowerError) -> None:
    told = error.errors if isinstance(error, InputErrors) else (error,)
    for line in map(str, told):
        if not line.replace("\n", "").isprintable() or len(line) > LONGEST_LINE:
            found.broken.setdefault(f"{where.partition(',')[0]}: words", f"{where}: {line[:1000]!r}")


def calls(
    found: Found, numbers: Iterable[int], folder: Path, seed: int, *, spoil: bool | None = None
) -> None:
    """Try odd command lines, and commands on spoilt workspaces."""
    for number in numbers:
        found.tried["calls"] += 1
        if trouble := one_call(Random(f"{seed} {number}"), folder / f"{number}", spoil=spoil):
            found.broken.setdefault(trouble.partition("\n")[0], f"number {number}\n{trouble}")


def main() -> None:
    seconds, seed = float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    found, start = Found(), time.perf_counter()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made = targets(folder)
        for number in count():
            spoil_files(
                found, ((number * 50 + more, kind) for more in range(50) for kind in made), made, seed
            )
            calls(found, range(number * 2, number * 2 + 2), folder, seed)
            if time.perf_counter() - start > seconds:
                break
    for kind, tried in found.tried.items():
        print(f"{kind:22} {tried:8,} tried, {found.refused[kind]:8,} refused")  # noqa: T201
    print(f"{sum(found.tried.values()):,} in all; slowest {found.slowest[0]:.2f} s: {found.slowest[1]}")  # noqa: T201
    for place, trail in found.broken.items():
        print(f"\n=== {place}\n{trail}")  # noqa: T201
    sys.exit(bool(found.broken))


if __name__ == "__main__":
    main()
