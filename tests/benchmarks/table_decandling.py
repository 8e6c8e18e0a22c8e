"""Decandling timed by the warmth that is left, and by a count of days, side by side.

`python -m tests.benchmarks.table_decandling`: the middle of whole past seasons in the demo's two yards.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np

from season_engine.markers.progress import still_to_come
from season_engine.markers.sums import degree_days
from season_engine.phenology.dating import date_markers
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.opening import open_window
from tests.benchmarks.markdown import markdown_table, show
from tests.yards import NORTH, SOUTH, view

DAYS_COUNTED = 100
YARDS = {NORTH: (dt.date(2024, 11, 1), [(6, 1), (6, 15), (7, 1), (7, 15), (8, 1)]),
         SOUTH: (dt.date(2024, 5, 1), [(12, 1), (12, 15), (1, 1), (1, 15), (2, 1)])}  # fmt: skip


def rows_of(site: Site) -> Iterator[tuple[str, str]]:
    """Warmth left by date, then the windows by it and by a count of days."""
    (on, days), pine = YARDS[site], load_catalogue().find("Pinus thunbergii")
    rule = pine.markers["heat_left_opens_medium"]
    traces = view(site, on).past
    dating = date_markers(pine, traces)
    daily = degree_days(traces, rule.base_c, rule.upper_c)
    left = np.median(still_to_come(dating.plain[rule.until], daily), axis=0)
    for month, day in days:
        year = traces.season.year + (dt.date(traces.season.year, month, day) < traces.season.start)
        date = dt.date(year, month, day)
        yield f"{date:%-d %b}", f"{left[traces.column(date)]:,.0f}"
    for window in (w for w in pine.windows if w.job == "decandling"):
        opening = open_window(dating, window.opens, window.closes)
        opens, closes = opening.opened_by(0.5), opening.closed_by(0.5)
        yield window.name, f"{opens:%-d %b} to {closes:%-d %b}" if opens and closes else "not here"
    for level_c in (0.0, -2.0):
        name = f"{DAYS_COUNTED} days before the middle first night of {level_c:g} degC"
        yield name, _counted(traces, level_c)


def main() -> None:
    yards = [[*rows_of(site)] for site in YARDS]
    rows = ((*ours, *theirs) for ours, theirs in zip(*yards, strict=True))
    head = ("Cool, inland, 51 degrees north", "Degree days left", "Mild, by the sea, 38 degrees south", "")
    show(*markdown_table(head, rows))


def _counted(traces, level_c: float) -> str:
    """The day so long before the middle date of the first frost; years without one count as never."""
    midsummer = traces.season_start + 274
    cold = traces.tmin_c[:, midsummer:] <= level_c
    first = np.where(cold.any(axis=1), cold.argmax(axis=1), np.inf)
    middle = np.sort(first)[len(first) // 2]
    if np.isinf(middle):
        return f"none: {np.isfinite(first).mean():.0%} of years have one"
    date = traces.date_of(midsummer + middle - DAYS_COUNTED)
    return f"{date:%-d %b}, frost {traces.date_of(midsummer + middle):%-d %b}"


if __name__ == "__main__":
    main()
