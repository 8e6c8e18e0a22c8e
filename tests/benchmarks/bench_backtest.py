"""Time and memory of a backtest of 100 sites, 40 years and three made species, in two processes:
`python -m tests.benchmarks.bench_backtest`.

The catalogue has no rule for them, so the time is that of three fits, then of all forecasts.
"""

from __future__ import annotations

import resource
import time

from joblib.externals.loky import get_reusable_executor

from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import backtest
from season_engine.verify.observations import Observations
from season_engine.verify.rules import rules_for
from season_engine.verify.station_files import Event
from season_engine.weather.invented import series as demo
from tests.benchmarks.markdown import markdown_table, show
from tests.verify.simple import made_records

SITES, YEARS, JOBS, UNTIL = 100, 40, 2, 2005
LEADS = (6.0, 4.0, 2.0, 1.0, 0.0)
NEEDS = (80.0, 150.0, 260.0)


def peak_mb(who: int) -> float:
    return resource.getrusage(who).ru_maxrss / 1e3


def main() -> None:
    demo.YEARS = YEARS
    records = {
        Event("Arbor ficta", stage): tuple(made_records(SITES, need=need, sd_days=3.0, seed=stage)[0])
        for stage, need in enumerate(NEEDS)
    }
    observations = Observations(records, ())
    start = time.perf_counter()
    rules = rules_for(observations, UNTIL, load_catalogue(), jobs=JOBS)
    fitted = time.perf_counter() - start
    found = backtest(observations, UNTIL, LEADS, rules.of_events, jobs=JOBS)
    seconds = time.perf_counter() - start
    get_reusable_executor().shutdown(wait=True)
    children = peak_mb(resource.RUSAGE_CHILDREN)
    head = ("Backtest", "Forecasts", "Time", "Of it, the fits", "Memory", f"In each of {JOBS} processes")
    what = f"{SITES} sites, {YEARS} years, {len(NEEDS)} made species"
    times = (f"{seconds:.0f} s", f"{fitted:.0f} s")
    memory = (f"{peak_mb(resource.RUSAGE_SELF):.0f} MB", f"{children:.0f} MB")
    show(*markdown_table(head, [(what, f"{len(found.cases):,}", *times, *memory)]))


if __name__ == "__main__":
    main()
