"""What a report on three hundred trees costs: `python -m tests.benchmarks.bench_many_trees`.

A made yard of fifteen kinds in random sizes, pots and years, half of them in each of the demo's two climates.
Five runs of the command, each a process of its own, on a cache that is warm; user time is what counts, since
the clock hangs on what else the machine does. `--keep DIR` leaves the yard and its page there.
"""

from __future__ import annotations

import argparse
import os
import random
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import season_engine
from tests.benchmarks.markdown import markdown_table, show

TREES, RUNS = 300, 5
ON = "2026-04-13T07:00"
KINDS = (
    "Pinus thunbergii",
    "Pinus densiflora",
    "Pinus parviflora",
    "Pinus sylvestris",
    "Juniperus chinensis",
    "Acer palmatum",
    "Acer buergerianum",
    "Ulmus parvifolia",
    "Prunus mume",
    "Larix laricina",
    "Picea glauca",
    "Rhododendron indicum",
    "Ficus microcarpa",
    "Olea europaea",
    "Leptospermum scoparium",
)
SIZES = ("small", "medium", "large")
POTS = ("", "17x12x6 cm", "34x26x11 cm", "70x50x25 cm", "1.5 l")
ORIGINS = ("nursery", "seed", "cutting", "field-grown")
VIGOURS = ("weak", "normal", "normal", "strong")
HEAD = "id,name,site,species,size,pot,origin,last_repotted,vigour,shelter,notes\n"
SITES = ("lower-yard", "dune-yard")


def ids() -> list[str]:
    """The trees' ids, none of which is the start of another."""
    return [f"t{k:03}" for k in range(TREES)]


def trees() -> str:
    """The table of the trees; the same at each call."""
    draw = random.Random(300)
    rows = []
    for k, tree in enumerate(ids()):
        year, month, day = draw.randint(2020, 2025), draw.randint(1, 12), draw.randint(1, 28)
        rows.append(
            f"{tree},Tree {tree},{SITES[k % 2]},{draw.choice(KINDS)},{draw.choice(SIZES)},"
            f"{draw.choice(POTS)},{draw.choice(ORIGINS)},{year}-{month:02}-{day:02},"
            f"{draw.choice(VIGOURS)},{draw.choice(('yes', 'no'))},\n"
        )
    return HEAD + "".join(rows)


def make_yard(folder: Path) -> None:
    """The demo's settings and journal's head, with these trees."""
    demo = Path(season_engine.__file__).parent / "demo"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "season.toml").write_text((demo / "season.toml").read_text("utf-8"), "utf-8")
    (folder / "trees.csv").write_text(trees(), "utf-8")
    head, *_ = (demo / "journal.csv").read_text("utf-8").splitlines(keepends=True)
    (folder / "journal.csv").write_text(head, "utf-8")


def one_run(folder: Path) -> tuple[float, float]:
    """User time and clock [s] of one report."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime, time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "season_engine.cli", "report", "--workspace", str(folder)],
        check=True,
        stdout=subprocess.DEVNULL,
        env={**os.environ, "SEASON_ENGINE_NOW": ON},
    )
    return (
        resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before,
        time.perf_counter() - began,
    )


def main() -> None:
    """Time five reports, after one that fills the cache; fails where a tree is missing from the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--keep", type=Path)
    kept = parser.parse_args().keep
    with tempfile.TemporaryDirectory() as name:
        folder = kept or Path(name) / "yard"
        make_yard(folder)
        one_run(folder)
        runs = [one_run(folder) for _ in range(RUNS)]
        (page,) = (folder / "reports").rglob("report.html")
        text = page.read_text("utf-8")
    missing = [tree for tree in ids() if tree not in text]
    rows = [
        (what, f"{min(times):.2f} s", f"{statistics.median(times):.2f} s")
        for what, times in zip(("User time", "Clock"), zip(*runs, strict=True), strict=True)
    ]
    show(*markdown_table((f"{TREES} trees, {RUNS} runs", "Least", "Median"), rows))
    sys.stdout.write(f"\nThe page has {len(text.encode()):,} bytes; trees missing: {len(missing)}\n")
    sys.exit(1 if missing else 0)


if __name__ == "__main__":
    main()
