"""Time the measures: `python -m tests.benchmarks.bench_measures`, and with "xclim" beside xclim's.

The latter in xclim's environment (`make benchmark`). One process, one thread, the same input for both;
memory in a process of its own for each.
"""

from __future__ import annotations

import subprocess
import sys
import time
import warnings
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import NamedTuple

import numpy as np
import pandas as pd

from season_engine.measures.chill import (
    low_chill_units,
    north_carolina_units,
    positive_utah_units,
    smooth_utah_units,
)
from season_engine.measures.day_length import day_length_h
from season_engine.measures.heat import growing_degree_days, growing_degree_hours
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.many_sites import daily_chill_portions, hourly_measures_of_sites
from season_engine.measures.table import daily_measures
from tests.benchmarks.markdown import markdown_table, show

STATIONS, YEARS = 100, 40
ROUNDS, ROUNDS_XCLIM = 5, 3
SEASONS = "YS-OCT"


class Input(NamedTuple):
    days: pd.DatetimeIndex
    tmin: np.ndarray  # shape (stations, days)
    tmax: np.ndarray
    latitude: np.ndarray

    @property
    def day_of_year(self) -> np.ndarray:
        return np.asarray(self.days.day_of_year)

    @property
    def restart(self) -> np.ndarray:
        return np.asarray((self.days.month == 10) & (self.days.day == 1))


def invented(stations: int = STATIONS, years: int = YEARS) -> Input:
    random = np.random.default_rng(1)
    days = pd.date_range("1980-10-01", f"{1980 + years}-09-30")
    season = 10 - 12 * np.cos(2 * np.pi * (np.asarray(days.day_of_year) - 20) / 365)
    tmin = season + random.normal(0, 3, (stations, days.size))
    return Input(days, tmin, tmin + random.gamma(5, 2, tmin.shape), np.linspace(30, 55, stations))


def hours_of(data: Input) -> np.ndarray:
    """Shape (stations, days, 24)."""
    hours = np.empty((*data.tmin.shape, 24))
    for station, latitude in enumerate(data.latitude):
        length = day_length_h(latitude, data.day_of_year)
        hours[station] = hourly_temperatures_c(data.tmin[station], data.tmax[station], length)
    return hours


def our_chain(data: Input) -> dict[str, np.ndarray]:
    found = hourly_measures_of_sites(
        data.tmin,
        data.tmax,
        latitude_deg=data.latitude,
        day_of_year=data.day_of_year,
        chill_restart=data.restart,
    )
    sums = {key: measure.value for key, measure in found.items()}
    sums["growing_degree_days"] = growing_degree_days(data.tmin, data.tmax, 5.0)
    starts = np.flatnonzero(data.restart)
    return {key: np.add.reduceat(values, starts, axis=1) for key, values in sums.items()}


def our_portions(hours: np.ndarray, data: Input) -> np.ndarray:
    starts = np.flatnonzero(data.restart)
    return np.add.reduceat(daily_chill_portions(hours, data.restart).value, starts, axis=1)


def as_xclim(days: pd.DatetimeIndex, values: np.ndarray, latitude: np.ndarray, name: str):
    import xarray

    coords = {"time": days, "lat": ("station", latitude, {"units": "degrees_north"})}
    return xarray.DataArray(
        values, dims=("station", "time"), coords=coords, name=name, attrs={"units": "degC"}
    )


def xclim_chain(data: Input, all_of_ours: bool = False, chunks: dict[str, int] | None = None) -> list:
    """The four measures of ours that xclim has; or all nine, the rest by our formulas on its hours.

    In `chunks` they wait for Dask to work them out.
    """
    import xarray
    from xclim import indices
    from xclim.indices.helpers import make_hourly_temperature

    tmin, tmax = (
        as_xclim(data.days, values, data.latitude, name)
        for values, name in ((data.tmin, "tasmin"), (data.tmax, "tasmax"))
    )
    if chunks is not None:
        tmin, tmax = tmin.chunk(chunks), tmax.chunk(chunks)
    hours = make_hourly_temperature(tmin, tmax)
    hours.attrs["units"] = "degC"
    mean = ((tmin + tmax) / 2).assign_attrs(units="degC")
    rest = [
        growing_degree_hours,
        low_chill_units,
        north_carolina_units,
        positive_utah_units,
        smooth_utah_units,
    ]
    more = [xarray.apply_ufunc(rule, hours).resample(time=SEASONS).sum() for rule in rest if all_of_ours]
    return [
        *more,
        indices.chill_portions(hours, freq=SEASONS),
        indices.chill_units(hours, freq=SEASONS),
        ((hours >= 0) & (hours <= 7.2)).resample(time=SEASONS).sum(),
        indices.growing_degree_days(mean, thresh="5 degC", freq=SEASONS),
    ]


def xclim_portions(hours: np.ndarray, data: Input):
    from xclim import indices

    time_of_hours = pd.date_range(data.days[0], periods=data.days.size * 24, freq="h")
    as_array = as_xclim(time_of_hours, hours.reshape(len(hours), -1), data.latitude, "tas")
    return indices.chill_portions(as_array, freq=SEASONS)


def seconds(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Median of a few runs, after one to warm up."""
    if rounds > ROUNDS_XCLIM:
        work()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return median(times)


def peak_mb(name: str) -> float:
    """Memory that a piece of work takes on top of its input, in a process of its own (Linux)."""
    command = [sys.executable, "-m", "tests.benchmarks.bench_measures", name]
    return float(subprocess.run(command, capture_output=True, text=True, check=True).stdout)


def measure_memory(name: str) -> None:
    def resident(line: str) -> float:
        status = Path("/proc/self/status").read_text(encoding="ascii")
        return float(status.split(line)[1].split()[0]) / 1024

    data = invented()
    hours = hours_of(data)
    small = invented(1, 2)
    WORK[name](hours_of(small), small)  # compiled, imported
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")  # forget the peak so far
    before = resident("VmRSS:")
    WORK[name](hours, data)
    sys.stdout.write(f"{resident('VmHWM:') - before:.1f}\n")


WORK: dict[str, Callable[[np.ndarray, Input], object]] = {
    "our-portions": our_portions,
    "xclim-portions": xclim_portions,
    "our-chain": lambda _hours, data: our_chain(data),
    "xclim-chain": lambda _hours, data: xclim_chain(data),
    "xclim-chain-of-nine": lambda _hours, data: xclim_chain(data, all_of_ours=True),
}


def beside_xclim() -> None:
    data = invented()
    hours = hours_of(data)
    rows = []
    for title, ours, theirs in (
        ("Chill portions from hours", "our-portions", "xclim-portions"),
        ("Nine measures from daily extremes; in xclim its own four", "our-chain", "xclim-chain"),
        (
            "The same nine in both (five by our formulas on xclim's hours)",
            "our-chain",
            "xclim-chain-of-nine",
        ),
    ):
        our_s = seconds(lambda name=ours: WORK[name](hours, data))
        their_s = seconds(lambda name=theirs: WORK[name](hours, data), ROUNDS_XCLIM)
        memory = (f"{peak_mb(ours):.0f} MB", f"{peak_mb(theirs):.0f} MB")
        rows.append((title, f"{our_s:.2f} s", f"{their_s:.1f} s", f"{their_s / our_s:.0f}", *memory))
    measured = f"{STATIONS} stations of {YEARS} years, {hours.size / 1e6:.0f} million hours"
    show(*markdown_table((measured, "Ours", "xclim", "Times faster", "Our memory", "xclim's"), rows))


def cost_is_linear() -> None:
    rows = []
    for stations in (25, 50, 100):
        costs = []
        for years in (10, 20, 40):
            data = invented(stations, years)
            spent_ms = seconds(lambda data=data: our_chain(data)) * 1000
            costs.append(f"{spent_ms / stations / years:.2f} ms")
        rows.append((f"{stations} stations", *costs))
    show(*markdown_table(("A station's year", "of 10 years", "of 20 years", "of 40 years"), rows))


def portions_beside_exponentials() -> tuple[str, str]:
    data = invented()
    hours = hours_of(data)
    spent = seconds(lambda: our_portions(hours, data)) / seconds(lambda: np.exp(hours))
    return "chill portions, seasons summed, in times one `np.exp` over the same hours", f"{spent:.1f}"


def one_site() -> None:
    data = invented(1)
    compiled_s = seconds(lambda: our_chain(data))
    numpy_s = seconds(
        lambda: daily_measures(
            data.tmin[0],
            data.tmax[0],
            observed=np.ones(data.days.size, bool),
            latitude_deg=45.0,
            day_of_year=data.day_of_year,
            chill_restart=data.restart,
        )
    )
    imports = "import season_engine.measures.many_sites"
    first_use = (
        f"{imports} as m, numpy as n; x = n.full((1, 30), 5.0); m.hourly_measures_of_sites("
        "x, x, latitude_deg=[45], day_of_year=n.arange(1, 31), chill_restart=n.zeros(30, bool))"
    )
    rows = [("all measures in NumPy", f"{numpy_s:.3f} s"), ("compiled", f"{compiled_s:.3f} s")]
    started = {"numpy": "import numpy", "the compiled pass": imports, "it and calls it": first_use}
    for what, code in started.items():
        started_s = seconds(lambda code=code: subprocess.run([sys.executable, "-c", code], check=True))
        rows.append((f"a process that imports {what}", f"{started_s:.2f} s"))
    rows.append(portions_beside_exponentials())
    show("", *markdown_table(("One site of 40 years", "Time"), rows))


def main(asked: str = "") -> None:
    warnings.simplefilter("ignore")
    if asked in WORK:
        measure_memory(asked)
    elif asked == "xclim":
        beside_xclim()
    else:
        cost_is_linear()
        one_site()


if __name__ == "__main__":
    main(*sys.argv[1:])
