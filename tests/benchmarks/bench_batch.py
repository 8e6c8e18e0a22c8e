"""Time a batch: `python -m tests.benchmarks.bench_batch [SITES ...]` (default 200, 2000 and 10000).

Made sites of three climates with thirty years of days each, in one Parquet dataset; beyond the first hundred
or so a site has the weather of one of these, so much warmer or colder, and a latitude of its own. What a site
costs is told part by part in one process; then whole runs on one and two local workers, and on a scheduler
with two workers in processes and folders of their own, which share nothing with it but what is read and
written.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import pickle
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from season_engine.batch.asked import Asked, catalogue_here
from season_engine.batch.judging import fit_weather, judge_block
from season_engine.batch.run import Plan
from season_engine.batch.sites_file import read_batch_sites
from season_engine.batch.sources.chosen import source_at
from season_engine.batch.stamp import of_run
from season_engine.batch.work import Done
from season_engine.traces import SeasonView
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect, assess
from tests.batch.made import MadeSite, made_sites, write_parquet, write_sites
from tests.benchmarks.markdown import markdown_table, show

DAY = dt.date(2026, 3, 20)
SPECIES, JOBS = (
    ("Pinus thunbergii", "Acer palmatum"),
    ("repotting", "decandling", "needle-work", "structural-pruning"),
)
ASKED = Asked(SPECIES, JOBS, DAY)
YEARS = 30
ALONE = 12  # sites judged one by one
TOGETHER = 48
BLOCK_SITES = 50
MADE_FROM = 120  # sites, by whose weather the others are made
FILE_SITES = 500
CELLS, PAPER_YEARS = 1_000_000, 40
START = "from season_engine.cli import main; main()"
ADDRESS = re.compile(rb"tcp://127\.0\.0\.1:\d+")


def main(*counts: str) -> None:
    if counts[:1] == ("make",):
        make(Path(counts[1]), int(counts[2]))
        return
    if counts[:1] == ("parts",):
        parts(Path(counts[1]))
        return
    os.environ.update({f"{name}_NUM_THREADS": "1" for name in ("OMP", "OPENBLAS", "NUMBA")})
    with tempfile.TemporaryDirectory() as folder:
        sizes = [int(count) for count in counts] or [200, 2000, 10_000]
        show(machine(), "")
        for size in sizes:
            apart("make", str(Path(folder) / str(size)), str(size))
        apart("parts", str(Path(folder) / str(sizes[0])))
        runs(Path(folder), sizes)


def apart(*arguments: str) -> None:
    """In a process of its own: a child's peak of memory begins with what its parent holds."""
    subprocess.run([sys.executable, "-m", "tests.benchmarks.bench_batch", *arguments], check=True)


def make(folder: Path, count: int) -> None:
    (folder / "weather").mkdir(parents=True)
    first = made_sites(min(count, MADE_FROM), DAY, years=(YEARS,))
    made = [_like(first[number % len(first)], number) for number in range(count)]
    for start in range(0, count, FILE_SITES):
        write_parquet(folder / "weather" / f"days-{start:05d}.parquet", made[start : start + FILE_SITES])
    write_sites(folder / "sites.csv", [one.site for one in made])


def _like(other: MadeSite, number: int) -> MadeSite:
    """A site with the weather of another, its own warmth and latitude; to a tenth of a degree, as loggers."""
    random = np.random.default_rng(number)
    warmer = round(float(random.normal(0.0, 0.8)), 1) if number >= MADE_FROM else 0.0
    latitude = round(other.site.latitude + float(random.uniform(-0.5, 0.5)), 3)
    days = (np.round(one + warmer, 1) for one in (other.raw.tmin_c, other.raw.tmax_c))
    site = replace(other.site, name=f"site-{number:05d}", latitude=latitude)
    return MadeSite(site, DailySeries(other.raw.first_day, *days))


def machine() -> str:
    """What all this ran on."""
    name = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text("utf-8"))
    memory = re.search(r"MemTotal:\s*(\d+)", Path("/proc/meminfo").read_text("utf-8"))
    assert memory
    called = name[1] if name else "A processor that doesn't say its name"
    return f"{called}, {os.cpu_count()} cores, {int(memory[1]) / 1024**2:.0f} GB of memory."


def cpu_ms(work: Callable[[], object], sites: int) -> float:
    """Of the processor, a site."""
    began = time.process_time()
    work()
    return (time.process_time() - began) * 1e3 / sites


def parts(folder: Path) -> None:
    """What a site costs in one process, part by part, and what it costs alone."""
    sites = list(read_batch_sites(folder / "sites.csv")[:TOGETHER])
    source = source_at(str(folder / "weather"))
    windows = sum(len(found) for _, found in ASKED.windows(catalogue_here()))
    readings = list(source.read(sites))
    judge_block(sites[:3], readings[:3], ASKED)  # compiles
    reading = cpu_ms(lambda: list(source.read(sites)), TOGETHER)
    checking = cpu_ms(
        lambda: [fit_weather(*both, DAY) for both in zip(sites, readings, strict=True)], TOGETHER
    )
    whole = cpu_ms(lambda: judge_block(sites, readings, ASKED), TOGETHER)

    def by_itself() -> None:
        for site, read in zip(sites[:ALONE], readings[:ALONE], strict=True):
            view = SeasonView(site, fit_weather(site, read, DAY), DAY)
            for kind, found in ASKED.windows(catalogue_here()):
                prospect = Prospect(view, kind, any_size=True)
                for window in found:
                    assess(prospect, window)

    alone = cpu_ms(by_itself, ALONE) - checking
    together = whole - checking
    rows = [
        ("reading from Parquet", f"{reading:.1f} ms"),
        ("checks and filling, as for `check`", f"{checking:.1f} ms"),
        (f"measures, dates and odds of {windows} windows, side by side", f"{together:.1f} ms"),
        ("of that a window", f"{together / windows:.2f} ms"),
        (f"the same {windows} windows by the single pass, a site after the other", f"{alone:.1f} ms"),
        ("of that a window", f"{alone / windows:.2f} ms"),
    ]
    show(*markdown_table((f"A site of {YEARS} years, of the processor", "Time"), rows), "")
    size = sum(file.stat().st_size for file in (folder / "weather").iterdir()) / int(folder.name)
    show(*on_paper(reading, checking, together, size), "")


def on_paper(reading_ms: float, checking_ms: float, together_ms: float, bytes_a_site: float) -> Iterator[str]:
    """What a million cells of forty years would take, where days are read and checked in proportion."""
    longer = PAPER_YEARS / YEARS
    read, judged = reading_ms * longer, checking_ms * longer + together_ms * longer
    hours = CELLS * (read + judged) / 1e3 / 3600
    gigabytes = CELLS * bytes_a_site * longer / 1e9
    rate = bytes_a_site * longer / (read + judged)  # bytes a ms are kB a second
    asked = f"On paper, {CELLS:,} cells of {PAPER_YEARS} years"
    yield f"{asked}: {hours:.0f} hours of one core, {gigabytes:.0f} GB to read."
    share = read / (read + judged)
    yield f"Reading takes {share:.0%} of a core's time, at {rate:,.0f} kB a second: where the store gives"
    yield "each core as much, the limit is arithmetic."


@dataclass(frozen=True)
class Spent:
    """What a whole run took."""

    seconds: float
    cpu_s: float  # of those who work
    peak_mb: float  # of one of them
    scheduler_s: float | None = None


def runs(folder: Path, sizes: list[int]) -> None:
    rows, told = [], []
    for size in sizes:
        files, digests = folder / str(size), []
        for who, run in (("1 worker", 1), ("2 workers", 2), ("a scheduler, 2 workers apart", None)):
            out = files / (f"of-{run}" if run else "cluster")
            spent = here(files, out, run) if run else on_cluster(folder, files, out)
            digests.append(digest(out))
            rows.append((f"{size:,}", who, *told_of(spent, size)))
        same = "the same to the byte" if len(set(digests)) == 1 else "DIFFERENT"
        told.append(f"{size:,} sites: the three outputs are {same}.")
    head = "Sites", "Who works", "Sites a second", "Whole run", "Processor a task"
    head += "Peak of a worker", "Scheduler's own"
    task, answer = sent_bytes(folder / str(sizes[-1]))
    told.append(f"A task of {BLOCK_SITES} sites is {task:,} bytes, what comes back of it {answer:,}.")
    show(*markdown_table(head, rows), "", *told)


def told_of(spent: Spent, size: int) -> Sequence[str]:
    tasks = -(-size // BLOCK_SITES)
    return (
        f"{size / spent.seconds:.1f}",
        f"{spent.seconds:.0f} s",
        f"{spent.cpu_s / tasks:.2f} s",
        f"{spent.peak_mb:.0f} MB",
        "" if spent.scheduler_s is None else f"{spent.scheduler_s:.1f} s",
    )


def here(files: Path, out: Path, workers: int) -> Spent:
    """By workers of this machine, which are the client's children; its own time is with theirs."""
    seconds, used = timed(files, out, ("--workers", str(workers)))
    return Spent(seconds, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def on_cluster(folder: Path, files: Path, out: Path) -> Spent:
    with cluster(folder) as (address, scheduler, workers):
        before = [cpu_seconds(pid) for pid in (scheduler, *workers)]
        seconds, _ = timed(files, out, ("--scheduler", address))
        own, *theirs = (cpu_seconds(pid) - at for pid, at in zip((scheduler, *workers), before, strict=True))
        return Spent(seconds, sum(theirs), max(map(peak_mb, workers)), own)


def timed(files: Path, out: Path, where: tuple[str, ...]) -> tuple[float, resource.struct_rusage]:
    """Seconds of a whole run, the start of the program with it; and what its processes used, no other's."""
    asked = [part for name in SPECIES for part in ("--species", name)]
    asked += [part for name in JOBS for part in ("--jobs", name)]
    command = ["batch", "--sites", str(files / "sites.csv"), "--weather", str(files / "weather")]
    command += [*asked, "--on", DAY.isoformat(), "--out", str(out), "--block-sites", str(BLOCK_SITES), *where]
    began = time.perf_counter()
    run = subprocess.Popen(
        [sys.executable, "-c", START, *command], stderr=subprocess.DEVNULL, env=surroundings()
    )
    _, status, used = os.wait4(run.pid, 0)
    if status:
        sys.exit(f"A batch of {files} ended with code {os.waitstatus_to_exitcode(status)}.")
    return time.perf_counter() - began, used


@contextmanager
def cluster(folder: Path) -> Iterator[tuple[str, int, list[int]]]:
    """A scheduler and two workers, each a process in a folder of its own; its address and all their ids."""
    processes = []

    def begin(name: str, *command: str) -> int:
        (folder / name).mkdir(exist_ok=True)
        program = [sys.executable, "-m", "distributed.cli." + command[0], *command[1:]]
        with (folder / name / "log").open("wb") as log:
            options = {"cwd": folder / name, "env": surroundings(), "stdout": log, "stderr": log}
            processes.append(subprocess.Popen(program, **options))
        return processes[-1].pid

    try:
        options = ("--host", "127.0.0.1", "--port", "0", "--dashboard-address", "127.0.0.1:0")
        scheduler = begin("s", "dask_scheduler", *options)
        while not (found := ADDRESS.search((folder / "s" / "log").read_bytes())):
            time.sleep(0.1)
        address = found[0].decode()
        options = ("--nthreads", "1", "--no-nanny", "--no-dashboard", "--memory-limit", "0")
        workers = [
            begin(name, "dask_worker", address, "--host", "127.0.0.1", *options) for name in ("w1", "w2")
        ]
        yield address, scheduler, workers
    finally:
        for process in reversed(processes):
            process.kill()  # a worker that loses its scheduler waits long for another
            process.wait()


def surroundings() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(Path.cwd())}


def cpu_seconds(pid: int) -> float:
    """Of the processor, by a process so far (Linux)."""
    fields = Path(f"/proc/{pid}/stat").read_text("utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def peak_mb(pid: int) -> float:
    """The most memory that a process has held so far (Linux)."""
    status = Path(f"/proc/{pid}/status").read_text("utf-8")
    return float(status.split("VmHWM:")[1].split()[0]) / 1024


def digest(out: Path) -> str:
    found = hashlib.sha256()
    for path in sorted(out.glob("block=*/part.parquet")):
        found.update(path.read_bytes())
    return found.hexdigest()


def sent_bytes(folder: Path) -> tuple[int, int]:
    """Of a task and of what its worker answers."""
    source = source_at(str(folder / "weather"))
    stamp = of_run(ASKED, BLOCK_SITES, b"", source.files(), "")
    plan = Plan(ASKED, source, read_batch_sites(folder / "sites.csv"), BLOCK_SITES, stamp)
    return tuple(len(pickle.dumps(one)) for one in (plan.task(0, "out"), Done(0, BLOCK_SITES)))


if __name__ == "__main__":
    main(*sys.argv[1:])
