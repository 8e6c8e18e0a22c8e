"""Time the measures on sizes met in use: ``python -m tests.benchmarks.bench_measures``."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np

from season_engine.measures.chill import chill_portions, chilling_hours, utah_units
from season_engine.measures.coverage import daily
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import growing_degree_hours
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.table import daily_measures

TRACES, TRACE_DAYS, RECORD_DAYS = 30, 640, 50 * 365
ROUNDS = 5


def best_ms(work: Callable[[], object]) -> float:
    """Shortest of a few runs, in milliseconds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times) * 1000


def cases() -> dict[str, Callable[[], object]]:
    random = np.random.default_rng(1)
    day_of_year = np.arange(RECORD_DAYS) % 365 + 1
    season = 10 - 12 * np.cos(2 * np.pi * (day_of_year - 20) / 365)
    tmin = season[:TRACE_DAYS] + random.normal(0, 3, (TRACES, TRACE_DAYS))
    tmax = tmin + random.gamma(5, 2, tmin.shape)
    length = day_length_h(45.0, day_of_year[:TRACE_DAYS])
    hourly = hourly_temperatures_c(tmin, tmax, length)
    winter = hourly.reshape(TRACES, -1)[:, :6500]
    record_min = season + random.normal(0, 3, RECORD_DAYS)
    record_max = record_min + random.gamma(5, 2, RECORD_DAYS)
    return {
        "day lengths, one year": lambda: day_length_h(45.0, np.arange(1, 366)),
        "hourly curve, 30 traces x 640 days": lambda: hourly_temperatures_c(tmin, tmax, length),
        "chilling hours a day, 30 x 640 days": lambda: daily(chilling_hours(hourly)),
        "Utah units a day, 30 x 640 days": lambda: daily(utah_units(hourly)),
        "degree hours a day, 30 x 640 days": lambda: daily(growing_degree_hours(hourly)),
        "chill portions, 30 traces x 6500 hours": lambda: chill_portions(winter),
        "table of all measures, 50 years": lambda: daily_measures(
            record_min,
            record_max,
            observed=np.ones(RECORD_DAYS, bool),
            latitude_deg=45.0,
            day_of_year=day_of_year,
            chill_restart=day_of_year == 274,
        ),
    }


def main() -> None:
    for name, work in cases().items():
        sys.stdout.write(f"{name:42}{best_ms(work):9.2f} ms\n")


if __name__ == "__main__":
    main()
