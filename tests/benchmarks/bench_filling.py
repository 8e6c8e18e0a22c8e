"""How far filled days are off, by length of the gap: `python -m tests.benchmarks.bench_filling`."""

from __future__ import annotations

import numpy as np

from season_engine.weather.filling import filled
from season_engine.weather.logger.reading import read_logger
from season_engine.weather.normals import day_of_leap_year, normals
from season_engine.weather.second.yard_terms import in_yard_terms
from season_engine.weather.series import DailySeries
from tests.benchmarks.markdown import markdown_table, show
from tests.yards import STATIONS

GAP_DAYS = (1, 5, 20, 60)
MOST_GAPS = 300
WAYS = ("Straight line", "Climatology", "Ours", "Ours, with the neighbour")


def with_gaps(series: DailySeries, days: int, seed: int) -> tuple[DailySeries, np.ndarray]:
    """Gaps of so many days at random places, at least a month apart, and where they are."""
    places = (len(series) - 100) // (days + 30)
    starts = np.random.default_rng(seed).permutation(places)[:MOST_GAPS] * (days + 30) + 30
    gap = np.zeros(len(series), dtype=bool)
    for start in starts.tolist():
        gap[start : start + days] = True
    values = np.where(gap, np.nan, [series.tmin_c, series.tmax_c])
    return DailySeries(series.first_day, *values), gap


def errors_c(
    series: DailySeries, neighbour: DailySeries, days: int, seed: int = 1
) -> dict[str, tuple[float, float]]:
    """Mean absolute error [degC] of Tmin and Tmax by way of filling; nothing of the gaps is used."""
    holed, gap = with_gaps(series, days, seed)
    truth = np.array([series.tmin_c, series.tmax_c])
    values = np.array([holed.tmin_c, holed.tmax_c])
    day, calendar_day = np.arange(len(series)), day_of_leap_year(series.days)
    lines = [np.interp(day, day[~np.isnan(row)], row[~np.isnan(row)]) for row in values]
    usual = [normals(row, calendar_day)[calendar_day] for row in values]
    alone, beside = filled(holed), filled(holed, in_yard_terms(neighbour, holed))
    guesses = (lines, usual, [alone.tmin_c, alone.tmax_c], [beside.tmin_c, beside.tmax_c])
    result = {}
    for way, guess in zip(WAYS, guesses, strict=True):
        low, high = np.nanmean(np.abs(np.array(guess) - truth)[:, gap], axis=1).tolist()
        result[way] = low, high
    return result


def main() -> None:
    nagano, takayama = (read_logger(STATIONS / f"{name}.csv") for name in ("nagano", "takayama"))
    rows = []
    for days in GAP_DAYS:
        found = errors_c(nagano, takayama, days).values()
        gap = f"{days} days" if days > 1 else "1 day"
        rows.append((gap, *(f"{low:.2f} / {high:.2f}" for low, high in found)))
    show(*markdown_table(("Gap", *WAYS), rows))


if __name__ == "__main__":
    main()
