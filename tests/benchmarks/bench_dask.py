"""Time measures of many sites beside xclim by Dask: `python -m tests.benchmarks.bench_dask [SITES]` (2000).

In xclim's environment (`make .venv-xclim/stamp`). Thirty invented years at each site; the same four sums a
season by both: chill portions, chill units, chilling hours, growing degree days. xclim's arrays are in Dask's
chunks, a few sites each, worked on by one thread and by two; ours, nine measures in the same pass, by one.
"""

from __future__ import annotations

import os
import re
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np

from season_engine.measures.many_sites import PORTIONS
from tests.benchmarks.bench_measures import Input, invented, our_chain, xclim_chain
from tests.benchmarks.markdown import markdown_table, show

YEARS = 30
CHUNK = 50  # sites: a hundred megabytes of hours
TOGETHER = 400  # sites a graph: what its measures share stays in memory, two thousand sites' in over 23 GB
OURS = (PORTIONS, "richardson_1974", "weinberger_1950", "growing_degree_days")  # in xclim's order


def main(count: str = "2000") -> None:
    warnings.simplefilter("ignore")
    data = invented(int(count), YEARS)
    our_chain(some(data, slice(1)))  # compiles
    by_dask(invented(1, 2), 1)
    our_s, ours = timed(lambda: in_parts(data))
    rows = [("ours, nine measures", "1 thread", f"{our_s:.1f} s", "1")]
    for threads, who in ((1, "1 thread"), (2, "2 threads")):
        their_s, theirs = timed(lambda threads=threads: by_dask(data, threads))
        rows.append(("xclim by Dask, four of them", who, f"{their_s:.1f} s", f"{their_s / our_s:.0f}"))
    show(f"{machine()}", "")
    head = f"{int(count):,} sites of {YEARS} years", "Who works", "Time", "Times ours"
    show(*markdown_table(head, rows), "", *apart(ours, theirs))


def machine() -> str:
    name = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text("utf-8"))
    return f"{name[1] if name else 'A processor without a name'}, {os.cpu_count()} cores."


def some(data: Input, sites: slice) -> Input:
    return Input(data.days, data.tmin[sites], data.tmax[sites], data.latitude[sites])


def in_parts(data: Input) -> list[np.ndarray]:
    """Our sums, shape (sites, seasons) each."""
    chunks = [slice(start, start + CHUNK) for start in range(0, len(data.latitude), CHUNK)]
    parts = [our_chain(some(data, sites)) for sites in chunks]
    return [np.concatenate([part[key] for part in parts]) for key in OURS]


def by_dask(data: Input, threads: int) -> list[np.ndarray]:
    """xclim's sums, shape (sites, seasons) each; so many sites at a time that their hours go into memory."""
    starts = range(0, len(data.latitude), TOGETHER)
    parts = [_by_dask(some(data, slice(start, start + TOGETHER)), threads) for start in starts]
    return [np.concatenate(one) for one in zip(*parts, strict=True)]


def _by_dask(data: Input, threads: int) -> list[np.ndarray]:
    import dask

    waiting = xclim_chain(data, chunks={"station": CHUNK, "time": -1})
    # the graph as it is: what four measures share is lost where this version of Dask makes it smaller
    found = dask.compute(*waiting, scheduler="threads", num_workers=threads, optimize_graph=False)
    return [one.transpose("station", "time").to_numpy() for one in found]


def timed(work: Callable[[], list[np.ndarray]]) -> tuple[float, list[np.ndarray]]:
    began = time.perf_counter()
    found = work()
    return time.perf_counter() - began, found


def apart(ours: list[np.ndarray], theirs: list[np.ndarray]) -> list[str]:
    """Of each measure, by how much the sums of both differ in the mean."""
    told = []
    for key, mine, other in zip(OURS, ours, theirs, strict=True):
        off = np.abs(mine - other).mean() / np.abs(mine).mean()
        told.append(f"{key}: {off:.2%} apart")
    return [f"Sums of a season, in the mean: {', '.join(told)}."]


if __name__ == "__main__":
    main(*sys.argv[1:])
