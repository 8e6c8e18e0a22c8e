"""Every species of the catalogue with every job at six places: verdict, dates, faults, time.

Run with ``python -m tests.benchmarks.all_jobs``. It can be narrowed down by ``--species``, ``--job`` and
``--place``, each the beginning of a name; ``--on`` sets the day. It exits 1 on a failure, or over a minute.
"""

from __future__ import annotations

import argparse
import datetime as dt
import sys
import time
import traceback
from collections import Counter
from dataclasses import replace

from joblib import Parallel, delayed

from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.weather.invented.climates import COOL_INLAND_NORTH, MILD_MARITIME_SOUTH
from season_engine.weather.invented.series import demo_series
from season_engine.windows.assess import Prospect, assess
from tests.yards import KAGOSHIMA, LAST_DAY, NAGANO, NORTH, SOUTH, readings, view_on

LIMIT_S = 60.0
JOBS_AT_ONCE = 2
SHARES = 4  # of the species of a place, each a piece of work
ON = dt.date(2025, 3, 15)

COOL_SOUTH = Site("cool south", -45.0, 169.4, 150)
EQUATOR = Site("equator", 0.5, 32.5, 20)
# Monthly normals as such places have them, from memory.
COOL_INLAND_SOUTH = replace(
    COOL_INLAND_NORTH,
    name="cool-inland-south",
    seed=45,
    mean_c=(16.8, 16.5, 14.0, 10.5, 6.5, 3.3, 2.8, 5.0, 8.2, 10.8, 13.2, 15.6),
    range_c=(12.0, 12.0, 11.5, 10.5, 9.0, 8.0, 8.5, 9.5, 10.5, 11.0, 11.5, 12.0),
    faults_begin=(244, 340),
)
EQUATORIAL = replace(
    MILD_MARITIME_SOUTH,
    name="equatorial",
    seed=1,
    mean_c=(27.0, 27.3, 27.4, 27.3, 27.0, 26.7, 26.5, 26.6, 26.8, 27.0, 27.0, 26.9),
    range_c=(8.0,) * 12,
    day_spread_c=(0.9, 0.9),
    slow_spread_c=0.3,
)
# With the invented climate; without one, the readings of a station.
PLACES = {
    "cool north": (NORTH, COOL_INLAND_NORTH),
    "cool south": (COOL_SOUTH, COOL_INLAND_SOUTH),
    "mild maritime south": (SOUTH, MILD_MARITIME_SOUTH),
    "continental": (NAGANO, None),
    "subtropical": (KAGOSHIMA, None),
    "equatorial": (EQUATOR, EQUATORIAL),
}
Row = tuple[str, ...]


def judge(place: str, names: list[str], jobs: str, on: dt.date) -> tuple[list[Row], list[str]]:
    """One row a window, and the trace of each failure."""
    (site, climate), catalogue = PLACES[place], load_catalogue()
    view = view_on(site, demo_series(climate, LAST_DAY) if climate else readings(site), on)
    rows, faults = [], []
    for name in names:
        species = catalogue.find(name)
        prospect = Prospect(view, species)
        for window in species.windows:
            if not window.job.startswith(jobs):
                continue
            try:
                found = assess(prospect, window)
            except Exception:
                faults.append(f"{place}, {name}, {window.job}, {window.name}\n{traceback.format_exc()}")
                continue
            usual = found.usual.opens_p50, found.usual.closes_p50
            dates = (f"{day:%d %b}" if day else "-" for day in usual)
            rows.append((place, name, window.job, window.name, found.verdict, *dates))
    return rows, faults


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--species", default="")
    parser.add_argument("--job", default="")
    parser.add_argument("--place", default="")
    parser.add_argument("--on", type=dt.date.fromisoformat, default=ON)
    asked = parser.parse_args()
    start = time.perf_counter()
    names = [name for name in sorted(load_catalogue().species) if name.startswith(asked.species)]
    places = [place for place in PLACES if place.startswith(asked.place)]
    work = [(place, names[share::SHARES]) for place in places for share in range(SHARES)]
    done = Parallel(n_jobs=JOBS_AT_ONCE)(
        delayed(judge)(place, some, asked.job, asked.on) for place, some in work
    )
    spent_s = time.perf_counter() - start
    rows = [row for some, _ in done for row in some]
    faults = [fault for _, some in done for fault in some]
    for place, species, job, window, verdict, opens, closes in sorted(rows, key=lambda row: row[1:4]):
        say(f"{species:26} {job:20} {window:28} {place:20} {verdict:9} {opens:>6} to {closes:>6}")
    for fault in faults:
        say(fault)
    say(f"\nVerdicts on {asked.on}; dates are the middle ones of whole past seasons; - is never.")
    for place in places:
        counted = Counter(row[4] for row in rows if row[0] == place)
        say(f"{place:20} " + ", ".join(f"{verdict} {n}" for verdict, n in sorted(counted.items())))
    say(f"{len(names)} species, {len(rows)} windows judged, {len(faults)} exceptions, {spent_s:.1f} s")
    sys.exit(bool(faults) or spent_s > LIMIT_S)


def say(line: str) -> None:
    sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    main()
