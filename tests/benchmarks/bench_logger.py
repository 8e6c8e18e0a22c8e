"""Time and memory of reading ten years of five-minute readings: `python -m tests.benchmarks.bench_logger`."""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from season_engine.site import Site
from season_engine.weather.logger.reading import read_logger
from tests.benchmarks.markdown import markdown_row, markdown_table, show

ROWS = 10 * 365 * 288
SPELLINGS = {
    "plain": "one column of time",
    "columns": "date and time apart, decimal comma",
    "zone": "with a time zone",
}


def write_files(folder: Path) -> None:
    """Three spellings of one record: plain, in two columns with a decimal comma, and with a time zone."""
    minutes = np.arange(ROWS) * np.timedelta64(300, "s")
    stamps = np.datetime_as_string(np.datetime64("2015-01-01T00:00:00") + minutes, unit="s").tolist()
    wave = 10 + 8 * np.cos((np.arange(ROWS) - 180) * 2 * np.pi / 288)  # warmest at three in the afternoon
    temps = np.round(wave + np.random.default_rng(1).normal(0, 1, ROWS), 1).tolist()
    spellings = {
        "plain": ("time,temp", lambda at, c: f"{at.replace('T', ' ')},{c}"),
        "columns": (
            "no;date;time;temp;humidity;note",
            lambda at, c: (
                f"1;{at[8:10]}.{at[5:7]}.{at[:4]};{at[11:16]};{str(c).replace('.', ',')};55;quite dry"
            ),
        ),
        "zone": ("time,temp", lambda at, c: f"{at}+09:00,{c}"),
    }
    for name in SPELLINGS:
        header, spell = spellings[name]
        lines = [header, *(spell(at, c) for at, c in zip(stamps, temps, strict=True))]
        (folder / f"{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def read_and_tell(path: Path) -> None:
    start, cpu = time.perf_counter(), time.process_time()
    series = read_logger(path, site=Site("yard", 36.7, 138.0))
    wall_s, cpu_s = time.perf_counter() - start, time.process_time() - cpu
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024  # kilobytes on Linux
    cells = (f"{ROWS:,}", f"{len(series):,}", f"{wall_s:.1f} s", f"{cpu_s:.1f} s", f"{peak_mb:.0f} MB")
    show(markdown_row((SPELLINGS[path.stem], *cells)))


def main() -> None:
    if len(sys.argv) > 1:
        path = Path(sys.argv[1])
        (write_files if path.is_dir() else read_and_tell)(path)
        return
    head = ("Logger file", "Rows", "Days", "Time", "Of the processor", "Memory at the most")
    show(*markdown_table(head, ()))
    with tempfile.TemporaryDirectory() as folder:
        # Each step in a process of its own, for a peak of memory of its own.
        for path in (Path(folder), *(Path(folder) / f"{name}.csv" for name in SPELLINGS)):
            subprocess.run([sys.executable, "-m", "tests.benchmarks.bench_logger", str(path)], check=True)


if __name__ == "__main__":
    main()
