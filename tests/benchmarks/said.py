"""What the engine says over a year, written into a folder: ``python -m tests.benchmarks.said OUT``.

Every report with its mail, a fair list of checks, a comparison, the weather and the measures, as text and as
JSON, for the demo's two yards, for two real stations, one cold and one mild, and for a yard with poor
readings and a forecast, on the twelfth of each month. Each day is told twice: in English and in German, once
in degC and once in degF, which language has which turning from month to month. The same code writes the same
bytes, so the folders of two checkouts show what a change has moved: ``python -m tests.benchmarks.moved BEFORE
AFTER`` tells. All goes through the command line, so a checkout needs no more than this file and `tests/data`.
"""

from __future__ import annotations

import argparse
import datetime as dt
import email.policy
import hashlib
import importlib.resources
import multiprocessing
import os
import shutil
import socket
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from email.message import EmailMessage
from pathlib import Path
from typing import Any, NamedTuple

STATIONS = Path(__file__).resolve().parent.parent / "data" / "japan"
DAYS = tuple(dt.date(2024, month, 12) for month in range(1, 13))
PROCESSES = 2
DONE = "DONE"  # the last file written, so that a folder left half made is known

SETTINGS = """
[email]
host = "localhost"
port = {port}
security = "none"
from = "yard@example.org"
to = ["grower@example.org"]

[[site]]
name = "nagano"
latitude = 36.66
longitude = 138.19
elevation_m = 418
[site.weather]
source = "logger"
file = "nagano.csv"
units = "degC"

[[site]]
name = "kagoshima"
latitude = 31.55
longitude = 130.55
elevation_m = 4
[site.weather]
source = "logger"
file = "kagoshima.csv"
units = "degC"
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
DEMO, REAL, MENDED = "demo", "stations", "mended"
SITES = {DEMO: ("lower-yard", "dune-yard"), REAL: ("nagano", "kagoshima"), MENDED: ("patched",)}
SPOILT = """
[[site]]
name = "patched"
latitude = 36.66
longitude = 138.19
[site.weather]
source = "logger"
file = "patched.csv"
units = "degC"
reference = "nagano.csv"
[site.forecast]
source = "file"
file = "forecast.csv"
units = "degC"
"""
FORECAST = ((-2.5, 9.0), (-4.0, 6.5), (-6.5, 3.0), (-1.0, 12.0), (4.0, 21.0), (22.0, 36.5))


def spoilt(on: dt.date) -> str:
    """Nagano's last twelve years as a poor logger would have read them: gaps, a stuck sensor, slips."""
    rows = (line.split(",")[:3] for line in (STATIONS / "nagano.csv").read_text("utf-8").splitlines()[1:])
    readings = {
        dt.date.fromisoformat(date): [float(low) - 1.2, float(high) + 0.7]
        for date, low, high in rows
        if low and high
    }
    for back in (*range(40, 29, -1), *range(400, 380, -1)):
        readings.pop(on - dt.timedelta(days=back), None)
    for back in range(25, 17, -1):
        readings[on - dt.timedelta(days=back)] = [3.3, 11.8]
    for back, pair in (
        (12, [-9.5, 24.0]),
        (9, [0.0, 0.0]),
        (6, [1.0, 47.9]),
        (4, [5.0, 5.0]),
        (300, [41.0, 57.0]),
    ):
        readings[on - dt.timedelta(days=back)] = pair
    since = on - dt.timedelta(days=12 * 365)
    told = (
        f"{day},{low:.1f},{high:.1f}\n" for day, (low, high) in sorted(readings.items()) if since <= day <= on
    )
    return "date,tmin,tmax\n" + "".join(told)


def forecast(on: dt.date) -> str:
    """A cold spell, then a hot day, as they are foretold on the day."""
    days = ((on + dt.timedelta(days=ahead), *pair) for ahead, pair in enumerate(FORECAST, start=1))
    return "issued,date,tmin,tmax\n" + "".join(f"{on},{day},{low},{high}\n" for day, low, high in days)


class Spoken(NamedTuple):
    """How a day is told."""

    language: str
    units: str


USUAL = Spoken("en", "degC")


def spoken_on(on: dt.date) -> tuple[Spoken, Spoken]:
    """Both languages, and both units, in one of the two pairings."""
    english, german = ("degC", "degF") if on.month % 2 else ("degF", "degC")
    return Spoken("en", english), Spoken("de", german)


def make_yard(folder: Path, yard: str, on: dt.date, spoken: Spoken, port: int) -> None:
    """A workspace on the two stations, on spoilt readings or the demo's files; none for the demo as it is."""
    folder.mkdir()
    if yard == DEMO and spoken == USUAL:
        return
    head = f'units = "{spoken.units}"\n'
    tail = f'\n[report]\nlanguage = "{spoken.language}"\n'
    if yard == DEMO:
        demo = importlib.resources.files("season_engine") / "demo"
        files = {one.name: one.read_text("utf-8") for one in demo.iterdir() if one.is_file()}
        files["season.toml"] = files["season.toml"].replace('units = "degC"\n', head) + tail
    elif yard == MENDED:
        files = {"season.toml": head + SPOILT + tail, "patched.csv": spoilt(on), "forecast.csv": forecast(on)}
        shutil.copy(STATIONS / "nagano.csv", folder)
    else:
        settings = head + SETTINGS.format(port=port) + tail
        files = {"season.toml": settings, "trees.csv": TREES, "journal.csv": JOURNAL}
        for site in SITES[yard]:
            shutil.copy(STATIONS / f"{site}.csv", folder)
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


def commands(yard: str, on: dt.date) -> dict[str, tuple[str, ...]]:
    """What is asked on a day, by the file that keeps the answer; "" where the report keeps its own."""
    day = ("--on", on.isoformat())
    rest = (*day, "--json")
    mail = ("--email",) if yard == REAL else ()
    asked = {"": ("report", *day, "--out", "reports", *mail)}
    if yard != MENDED:
        asked["compare.json"] = ("compare", *SITES[yard], *rest)
        asked["compare.txt"] = ("compare", *SITES[yard], *day, "--species", "Acer palmatum")
    asked["weather.json"], asked["weather.txt"] = ("weather", *rest), ("weather", *day)
    first = (on - dt.timedelta(days=30)).isoformat()
    for site in SITES[yard]:
        asked[f"measures-{site}.csv"] = ("measures", "--site", site, "--from", first, "--to", on.isoformat())
    for site in SITES[yard]:
        for job, species, size in ASKED if yard != MENDED else ASKED[:3]:
            name = f"check/{site}-{job}-{species.replace(' ', '-')}-{size}.json"
            check = ("check", job, "--species", species, "--site", site, "--size", size, "--explain")
            asked[name] = (*check, *rest)
            asked[name.replace(".json", ".txt")] = (*check, *day)
    for job, tree in ASKED_OF_TREES if yard == REAL else ():
        asked[f"check/{job}-{tree}.json"] = ("check", job, "--tree", tree, "--explain", *rest)
        asked[f"check/{job}-{tree}.txt"] = ("check", job, "--tree", tree, "--explain", *day)
    return asked


class Letterbox:
    """Keeps the mails that come, as files: a letter's boundary is another each time."""

    def __init__(self) -> None:
        self.letters: list[bytes] = []

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:  # noqa: N802
        """Take one letter in."""
        self.letters.append(envelope.content)
        return "250 OK"

    def write(self, kept: Path) -> None:
        """The subject, the text and the page of each, and what its pictures are known by."""
        for place, letter in enumerate(self.letters):
            message = email.message_from_bytes(letter, policy=email.policy.default)
            assert isinstance(message, EmailMessage)
            told = [f"{name}: {message[name]}\n" for name in ("From", "To", "Subject", "Message-ID")]
            for part in message.walk():
                if part.get_content_maintype() == "text":
                    told.append(str(part.get_content()))
                elif part.get_content_maintype() == "image":
                    told.append(f"{hashlib.sha256(part.get_content()).hexdigest()}\n")
            (kept / f"mail-{place}.txt").write_text("".join(told), encoding="utf-8")
        self.letters.clear()


@contextmanager
def letterbox() -> Iterator[tuple[Letterbox, int]]:
    """A mail server on this machine, and its port."""
    from aiosmtpd.controller import Controller

    box = Letterbox()
    with socket.create_server(("localhost", 0)) as free:
        port = free.getsockname()[1]
    server = Controller(box, hostname="localhost", port=port)
    server.start()
    try:
        yield box, port
    finally:
        server.stop()


def write_day(yard: str, on: dt.date, out: Path) -> float:
    """Ask everything of a yard on a day, twice; gives the seconds it took."""
    start = time.perf_counter()
    os.environ["SEASON_ENGINE_NOW"] = f"{on}T12:00:00+00:00"
    with letterbox() as (box, port):
        for spoken in spoken_on(on):
            write_spoken(yard, on, out / f"{yard}-{'-'.join(spoken)}" / on.isoformat(), spoken, box, port)
    os.chdir(out)
    return time.perf_counter() - start


def write_spoken(yard: str, on: dt.date, kept: Path, spoken: Spoken, box: Letterbox, port: int) -> None:
    """Ask everything in one language and unit.

    The yard is made anew, so that a day's answers don't hang on which days came before. Exit codes and what
    went to stderr are kept in `exits.txt`.
    """
    from click.testing import CliRunner

    from season_engine.cli import main

    exits = []
    kept.mkdir(parents=True)
    with tempfile.TemporaryDirectory() as away:
        folder = Path(away) / yard
        make_yard(folder, yard, on, spoken, port)
        os.chdir(folder)
        for name, words in commands(yard, on).items():
            run = CliRunner().invoke(main, words)
            exits.append(f"{run.exit_code}  {' '.join(words)}\n{run.stderr}")
            if name:
                (kept / name).parent.mkdir(parents=True, exist_ok=True)
                (kept / name).write_text(run.stdout, encoding="utf-8")
        (folder / "reports").mkdir(exist_ok=True)
        shutil.copytree(
            folder / "reports", kept / "reports", ignore=shutil.ignore_patterns(".*", "*.log", "record.jsonl")
        )
        os.chdir(kept)
    box.write(kept)
    (kept / "exits.txt").write_text("".join(exits), encoding="utf-8")


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
    work = [(yard, day, out) for day in asked.days for yard in (REAL, DEMO, MENDED)]
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
