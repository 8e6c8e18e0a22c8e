"""A station made this yard's from some months of the yard's own readings: ``python -m`` this module."""

from __future__ import annotations

import datetime as dt
import sys

import numpy as np

from season_engine.weather.logger.reading import read_logger
from season_engine.weather.second.correction import corrected, learnt
from season_engine.weather.second.yard_terms import laid_on
from season_engine.weather.series import DailySeries
from tests.yards import STATIONS

MONTHS = (3, 6, 12)
STARTS = tuple(dt.date(year, month, 1) for year in (1990, 2000, 2010) for month in (1, 4, 7, 10))
LATER_DAYS = 5 * 365


def error_c(guess: DailySeries, truth: DailySeries, days: slice) -> tuple[float, float]:
    pairs = ((guess.tmin_c, truth.tmin_c), (guess.tmax_c, truth.tmax_c))
    low, high = (float(np.nanmean(np.abs(a - b)[days])) for a, b in pairs)
    return low, high


def before_and_after(
    station: DailySeries, yard: DailySeries, start: dt.date, months: int
) -> tuple[float, ...]:
    """Error [degC] of Tmin and Tmax on the next five years: as it comes, corrected; and as foreseen."""
    count = round(months * 30.44)
    end = (start - yard.first_day).days + count
    correction = learnt(station.cut(start + dt.timedelta(days=count - 1)), laid_on(yard, start, count))
    later = slice(end, end + LATER_DAYS)
    before = error_c(station, yard, later)
    after = error_c(corrected(station, correction), yard, later)
    return (*before, *after, *correction.error_after_c)


def main() -> None:
    names = ("nagano", "takayama", "kagoshima")
    nagano, takayama, kagoshima = (read_logger(STATIONS / f"{name}.csv") for name in names)
    write = sys.stdout.write
    write("Mean absolute error on the five years after, Tmin / Tmax in degC; mean (worst) of 12 starts\n")
    write("| Station -> yard | Trained on | As it comes | Corrected | Foreseen by cross-validation |\n")
    write("|---|---|---|---|---|\n")
    for name, station, yard in (
        ("Takayama -> Nagano", takayama, nagano),
        ("Nagano -> Takayama", nagano, takayama),
        ("Kagoshima -> Nagano (absurdly far)", kagoshima, nagano),
    ):
        for months in MONTHS:
            table = np.array([before_and_after(station, yard, start, months) for start in STARTS])
            mean, worst = table.mean(axis=0), table.max(axis=0)
            cells = [f"{mean[k]:.2f} / {mean[k + 1]:.2f}" for k in (0, 2, 4)]
            cells[1] += f" (worst {worst[2]:.2f} / {worst[3]:.2f})"
            write(f"| {name} | {months} months | {' | '.join(cells)} |\n")


if __name__ == "__main__":
    main()
