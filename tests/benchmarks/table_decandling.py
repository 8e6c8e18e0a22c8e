"""Decandling timed by the heat that is left, and by a count of days, side by side.

Run with ``python -m tests.benchmarks.table_decandling``; the outcome stands in DEVELOPERS.md.
"""

from __future__ import annotations

import datetime as dt
import sys

import numpy as np

from season_engine.markers.progress import still_to_come
from season_engine.measures.heat import growing_degree_days
from season_engine.phenology.dating import date_markers
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.opening import open_window
from tests.yards import NORTH, SOUTH, view

DAYS_COUNTED = 100
YARDS = {NORTH: (dt.date(2024, 11, 1), [(6, 1), (6, 15), (7, 1), (7, 15), (8, 1)]),
         SOUTH: (dt.date(2024, 5, 1), [(12, 1), (12, 15), (1, 1), (1, 15), (2, 1)])}  # fmt: skip


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")


def main() -> None:
    pine = load_catalogue().find("Pinus thunbergii")
    for site, (on, days) in YARDS.items():
        traces = view(site, on).past
        dating = date_markers(pine, traces)
        daily = growing_degree_days(traces.tmin_c, traces.tmax_c, base_c=5, upper_c=30)
        left = np.median(still_to_come(dating.plain["growth_ends"], daily), axis=0)
        say(f"\n{site.name}: heat left to the day of ten and a half hours")
        for month, day in days:
            year = traces.season.year + (dt.date(traces.season.year, month, day) < traces.season.start)
            date = dt.date(year, month, day)
            say(f"  {date:%d %b}  {left[traces.column(date)]:6.0f}")
        for window in (w for w in pine.windows if w.job == "decandling"):
            opening = open_window(dating, window.opens, window.closes)
            say(f"  by heat, {window.name}: {opening.opened_by(0.5):%d %b} to {opening.closed_by(0.5):%d %b}")
        for level_c in (0.0, -2.0):
            rule = f"{DAYS_COUNTED} days before the middle first night of {level_c:g} degC"
            say(f"  {rule}: {_counted(traces, level_c)}")


def _counted(traces, level_c: float) -> str:
    """The day so long before the middle date of the first frost; years without one count as never."""
    midsummer = traces.season_start + 274
    cold = traces.tmin_c[:, midsummer:] <= level_c
    first = np.where(cold.any(axis=1), cold.argmax(axis=1), np.inf)
    middle = np.sort(first)[len(first) // 2]
    if np.isinf(middle):
        return f"none, only {np.isfinite(first).mean():.0%} of years have one"
    date = traces.date_of(midsummer + middle - DAYS_COUNTED)
    return f"{date:%d %b} (frost {traces.date_of(midsummer + middle):%d %b})"


if __name__ == "__main__":
    main()
