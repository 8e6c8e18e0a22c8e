"""How long a warm or cold month goes on, and how far years stray, at the twelve Japanese stations.

`python -m tests.benchmarks.fit_remainder`: years to 2005; the numbers of `traces/remainder.py`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.runs import mean_of_last
from season_engine.site import Site
from season_engine.traces.record import Record
from season_engine.traces.remainder import MEMORY_DAYS, YEAR_DAYS
from season_engine.verify.mending import mended
from season_engine.verify.station_files import read_sites
from season_engine.verify.weather_file import read_weather
from season_engine.weather.series import DailySeries
from tests.benchmarks.markdown import markdown_table, show

FloatArray = NDArray[np.float64]

TWELVE = Path(__file__).parents[1] / "data" / "japan" / "twelve"
UNTIL = dt.date(2005, 12, 31)
LONGEST_LEAD = 120


def sites() -> dict[str, Site]:
    """The stations by name."""
    return read_sites(TWELVE / "sites.csv")


def station_series(until: dt.date = UNTIL) -> Iterator[tuple[str, DailySeries]]:
    """The stations' whole temperatures up to a day."""
    weather, _ = read_weather(TWELVE / "weather.csv.gz", sites())
    for name in sites():
        yield name, mended(weather[name], UNTIL).series.cut(until)


def anomalies_c(series: DailySeries) -> tuple[FloatArray, float, float]:
    """Daily means less their usual course and the trend; the trend a year; the years' spread about it."""
    record = Record(series)
    mean_c = (record.tmin_c + record.tmax_c) / 2
    years = mean_c.size // YEAR_DAYS
    table = mean_c[mean_c.size - years * YEAR_DAYS :].reshape(years, YEAR_DAYS)
    usual = np.convolve(np.pad(table.mean(axis=0), 15, mode="wrap"), np.full(31, 1 / 31), "valid")
    level = (table - usual).mean(axis=1)
    slope, start = np.polyfit(np.arange(years), level, 1)
    left = level - start - slope * np.arange(years)
    off = table - usual - (start + slope * np.arange(years))[:, None]
    return off.ravel(), float(slope), float(np.sqrt(left @ left / (years - 2)))


def fit() -> dict[str, float]:
    """The numbers, by the names they have in the package."""
    together, squared = np.zeros(LONGEST_LEAD), 0.0
    found = [anomalies_c(series) for _, series in station_series()]
    for off, _, _ in found:
        last = mean_of_last(MEMORY_DAYS, off[None])[0]
        for day in range(MEMORY_DAYS - 1, off.size - LONGEST_LEAD, 5):
            together += last[day] * off[day + 1 : day + 1 + LONGEST_LEAD]
            squared += last[day] ** 2
    regression, lead = together / squared, np.arange(1, LONGEST_LEAD + 1)
    # least squares on a grid: a share of the first day, and the days it fades in
    days = np.arange(10.0, 90.0, 0.1)
    fading = np.exp(-lead / days[:, None])
    share = fading @ regression / (fading**2).sum(axis=1)
    best = int(np.argmin(((share[:, None] * fading - regression) ** 2).sum(axis=1)))
    return {
        "PERSISTENCE": float(share[best]),
        "FADES_IN_DAYS": float(days[best]),
        "TREND_SPREAD_C": float(np.sqrt(np.mean([slope**2 for _, slope, _ in found]))),
        "YEAR_SPREAD_C": float(np.sqrt(np.mean([spread**2 for *_, spread in found]))),
    }


if __name__ == "__main__":
    fitted = ((f"`{name}`", f"{value:.3f}") for name, value in fit().items())
    show(*markdown_table(("Of borrowed weather", ""), fitted))
