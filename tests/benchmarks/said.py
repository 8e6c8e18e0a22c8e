"""What the engine says over a year, written into a folder: ``python -m tests.benchmarks.said OUT``.

Every report, a fair list of checks and a comparison, for the demo's two yards and for two real stations, one
cold and one mild, on the twelfth of each month. The same code writes the same bytes, so the folders of two
checkouts show what a change has moved: ``python -m tests.benchmarks.moved BEFORE AFTER`` tells. All goes
through the command line, so a checkout needs no more than this file and `tests/data`.
"""

from __future__ import annotations

import argparse
import datetime as dt
import multiprocessing
import os
import shutil
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

STATIONS = Path(__file__).resolve().parent.parent / "data" / "japan"
DAYS = tuple(dt.date(2024, month, 12) for month in range(1, 13))
PROCESSES = 2
DONE = "DONE"  # the last file written, so that a folder left half made is known

SETTINGS = """
[[site]]
name = "nagano"
latitude = 36.66
longitude = 138.19
elevation_m = 418
[site.weather]
source = "logger"
file = "nagano.csv"

[[site]]
name = "kagoshima"
latitude = 31.55
longitude = 130.55
elevation_m = 4
[site.weather]
source = "logger"
file = "kagoshima.csv"
"""

TREES = """id,name,site,species,size,origin,last_repotted,vigour,shelter,notes
n1,Kettle,nagano,Pinus thunbergii,large,collected,2019-04-02,normal,no,
n2,Thimble,nagano,Pinus thunbergii,small,nursery,2021-04-10,weak,yes,
n3,Rust,nagano,Japanese maple,medium,nursery,2018-03-20,normal,yes,
n4,Ladder,nagano,Larix kaempferi,large,collected,2020-04-08,strong,no,
n5,Pebble,nagano,Pinus parviflora,small,graft,2020-04-15,normal,no,
n6,Lantern,nagano,Prunus mume,large,field-grown,2022-03-30,normal,no,
n7,Anvil,nagano,Juniperus chinensis,medium,nursery,2019-05-02,normal,no,
k1,Ember,kagoshima,Japanese maple,large,nursery,2020-02-25,normal,no,
k2,Button,kagoshima,Acer buergerianum,small,cutting,2022-02-20,strong,yes,
k3,Bellows,kagoshima,Pinus thunbergii,large,collected,2018-03-01,normal,no,
k4,Whistle,kagoshima,Rhododendron indicum,medium,nursery,2021-06-10,normal,yes,
k5,Oar,kagoshima,Olea europaea,small,nursery,2021-04-20,normal,no,
k6,Cask,kagoshima,Ulmus parvifolia,large,field-grown,2021-02-28,normal,no,
"""

JOURNAL = """date,site,tree,species,bbch,job,note
2019-04-22,nagano,n3,,09,,green tips
2020-03-28,nagano,n3,,01,,buds fat
2020-04-10,nagano,n4,,07,,buds breaking
2021-04-12,nagano,n1,,,repotting,a third of the root ball
2021-03-14,nagano,n6,,61,,first flowers
2022-04-02,nagano,n3,,01,,buds fat
2022-04-20,nagano,n1,,01,,candles moving
2022-07-20,nagano,n1,,,decandling,
2023-04-01,nagano,n3,,09,,green tips
2023-04-14,nagano,n4,,10,,leaves open
2019-03-20,kagoshima,k1,,07,,buds breaking
2021-03-02,kagoshima,k1,,01,,buds fat
2021-03-12,kagoshima,k2,,07,,buds breaking
2022-03-10,kagoshima,k3,,01,,candles moving
2022-05-24,kagoshima,k4,,67,,petals off
2023-03-06,kagoshima,k1,,01,,buds fat
2023-03-15,kagoshima,k6,,09,,green tips
2023-06-20,kagoshima,k3,,,decandling,
2024-03-02,kagoshima,k6,,01,,buds fat
2024-03-30,nagano,n4,,01,,not yet open
"""

# Heavy jobs and light ones, on trees that sleep and trees that don't, small and large.
ASKED = (
    ("repotting", "Acer palmatum", "medium"),
    ("repotting", "Pinus thunbergii", "large"),
    ("repotting", "Rhododendron indicum", "small"),
    ("repotting", "Ficus microcarpa", "large"),
    ("repotting", "Fagus crenata", "small"),
    ("decandling", "Pinus thunbergii", "small"),
    ("candle-shortening", "Pinus parviflora", "large"),
    ("needle-work", "Pinus densiflora", "medium"),
    ("structural-pruning", "Acer buergerianum", "large"),
    ("trimming", "Juniperus chinensis", "medium"),
    ("wiring", "Larix kaempferi", "medium"),
    ("defoliation", "Zelkova serrata", "small"),
    ("winter-shelter", "Olea europaea", "small"),
)
ASKED_OF_TREES = (
    ("repotting", "n1"),
    ("repotting", "n3"),
    ("wiring", "n4"),
    ("decandling", "k3"),
    ("repotting", "k6"),
)
DEMO, REAL = "demo", "stations"
SITES = {DEMO: ("lower-yard", "dune-yard"), REAL: ("nagano", "kagoshima")}


def make_yard(folder: Path, yard: str) -> None:
    """A workspace on the two stations; for the demo an empty folder."""
    folder.mkdir()
    if yard == DEMO:
        return
    for name, text in (("season.toml", SETTINGS), ("trees.csv", TREES), ("journal.csv", JOURNAL)):
        (folder / name).write_text(text, encoding="utf-8")
    for site in SITES[yard]:
        shutil.copy(STATIONS / f"{site}.csv", folder)


def commands(yard: str, on: dt.date) -> dict[str, tuple[str, ...]]:
    """What is asked on a day, by the file that keeps the answer; "" where the report keeps its own."""
    rest = ("--on", on.isoformat(), "--json")
    asked = {"": ("report", "--on", on.isoformat(), "--out", "reports")}
    asked["compare.json"] = ("compare", *SITES[yard], *rest)
    for site in SITES[yard]:
        for job, species, size in ASKED:
            name = f"check/{site}-{job}-{species.replace(' ', '-')}-{size}.json"
            asked[name] = (
                "check",
                job,
                "--species",
                species,
                "--site",
                site,
                "--size",
                size,
                "--explain",
                *rest,
            )
    for job, tree in ASKED_OF_TREES if yard == REAL else ():
        asked[f"check/{job}-{tree}.json"] = ("check", job, "--tree", tree, "--explain", *rest)
    return asked


def write_day(yard: str, on: dt.date, out: Path) -> float:
    """Ask everything of a yard on a day; gives the seconds it took.

    The yard is made anew, so that a day's answers don't hang on which days came before. Exit codes and what
    went to stderr are kept in `exits.txt`.
    """
    from click.testing import CliRunner

    from season_engine.cli import main

    start = time.perf_counter()
    os.environ["SEASON_ENGINE_NOW"] = f"{on}T12:00:00+00:00"
    kept = out / yard / on.isoformat()
    exits = []
    with tempfile.TemporaryDirectory() as away:
        folder = Path(away) / yard
        make_yard(folder, yard)
        os.chdir(folder)
        for name, words in commands(yard, on).items():
            run = CliRunner().invoke(main, words)
            exits.append(f"{run.exit_code}  {' '.join(words)}\n{run.stderr}")
            if name:
                (kept / name).parent.mkdir(parents=True, exist_ok=True)
                (kept / name).write_text(run.stdout, encoding="utf-8")
        (folder / "reports").mkdir(exist_ok=True)
        shutil.copytree(folder / "reports", kept / "reports", ignore=shutil.ignore_patterns(".*"))
        os.chdir(out)
    (kept / "exits.txt").write_text("".join(exits), encoding="utf-8")
    return time.perf_counter() - start


def main() -> None:
    parser = argparse.ArgumentParser(description="Write what is said over a year into a folder.")
    parser.add_argument("out", type=Path, help="a new folder, or an empty one")
    parser.add_argument("--days", nargs="+", type=dt.date.fromisoformat, default=DAYS, metavar="DATE")
    asked = parser.parse_args()
    out = asked.out.resolve()
    out.mkdir(parents=True, exist_ok=True)
    if any(out.iterdir()):
        parser.error(f"{out} isn't empty; name a new folder")
    os.environ |= {f"{library}_NUM_THREADS": "1" for library in ("OPENBLAS", "OMP", "MKL")}
    start = time.perf_counter()
    work = [(yard, day, out) for day in asked.days for yard in (REAL, DEMO)]
    # Processes of their own, since each day sets the clock and changes the folder it is in.
    with ProcessPoolExecutor(PROCESSES, multiprocessing.get_context("spawn")) as pool:
        for (yard, day, _), spent_s in zip(work, pool.map(write_day, *zip(*work, strict=True)), strict=True):
            sys.stdout.write(f"{yard:8} {day}  {spent_s:5.1f} s\n")
            sys.stdout.flush()
    (out / DONE).write_text("".join(f"{day}\n" for day in sorted(asked.days)), encoding="utf-8")
    files = sum(path.is_file() for path in out.rglob("*"))
    sys.stdout.write(f"{files} files in {time.perf_counter() - start:.0f} s\n")


if __name__ == "__main__":
    main()
