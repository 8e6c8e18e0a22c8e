"""A station made this yard's from some months of its readings: `python -m tests.benchmarks.bench_yard`."""

from __future__ import annotations

import datetime as dt

import numpy as np

from season_engine.weather.logger.reading import read_logger
from season_engine.weather.second.correction import corrected, learnt
from season_engine.weather.second.yard_terms import laid_on
from season_engine.weather.series import DailySeries
from tests.benchmarks.markdown import markdown_table, show
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
    rows = []
    for name, station, yard in (
        ("Takayama to Nagano", takayama, nagano),
        ("Nagano to Takayama", nagano, takayama),
        ("Kagoshima to Nagano, absurdly far", kagoshima, nagano),
    ):
        for months in MONTHS:
            errors = np.array([before_and_after(station, yard, start, months) for start in STARTS])
            before, after, foreseen = (errors[:, k : k + 2] for k in (0, 2, 4))
            shown = (before.mean(axis=0), after.mean(axis=0), after.max(axis=0), foreseen.mean(axis=0))
            rows.append((name, str(months), *(f"{low:.2f} / {high:.2f}" for low, high in shown)))
    head = ("Station to yard", "Months", "As it comes", "Corrected", "Worst start", "Foreseen")
    show(*markdown_table(head, rows))


if __name__ == "__main__":
    main()
