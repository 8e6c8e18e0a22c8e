"""How long a warm or cold month goes on: anomaly persistence, fitted on the stations' own past."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.season_rows import SeasonRows

FloatArray = NDArray[np.float64]

MEMORY_DAYS = 30  # the weeks whose anomaly is carried on
LONGEST_LEAD = 60
ISSUES = range(90, 225, 10)  # days of the season on which it is looked at
SMOOTHED_DAYS = 31


def persistence(stations: Sequence[SeasonRows], until: int) -> FloatArray:
    """Regression of the anomaly 1 to 60 days on upon that of the last 30 days, shape (60,), least 0."""
    with_both = np.zeros(LONGEST_LEAD)
    squared = 0.0
    for rows in stations:
        anomalies = _anomalies(rows, until)
        for day in ISSUES:
            last = anomalies[:, day - MEMORY_DAYS + 1 : day + 1].mean(axis=1)
            with_both += last @ anomalies[:, day + 1 : day + 1 + LONGEST_LEAD]
            squared += float(last @ last)
    return np.clip(with_both / max(squared, 1e-9), 0.0, 1.0)


def _anomalies(rows: SeasonRows, until: int) -> FloatArray:
    """Daily means less their usual course and the station's trend, of whole seasons before `until`."""
    used = rows.whole() & (rows.years < until)
    mean = rows.mean_c[used]
    if mean.shape[0] < 3:
        return np.zeros((0, rows.mean_c.shape[1]))
    half = SMOOTHED_DAYS // 2
    usual = np.convolve(
        np.pad(mean.mean(axis=0), half, mode="edge"), np.full(SMOOTHED_DAYS, 1 / SMOOTHED_DAYS), "valid"
    )
    level = (mean - usual).mean(axis=1)
    return np.asarray(
        mean - usual - np.polyval(np.polyfit(rows.years[used], level, 1), rows.years[used])[:, None]
    )


def trend_c_per_year(rows: SeasonRows, before: int) -> float:
    """Warming of whole seasons before a year, by least squares."""
    used = rows.whole() & (rows.years < before)
    if np.count_nonzero(used) < 3:
        return 0.0
    return float(np.polyfit(rows.years[used], rows.mean_c[used].mean(axis=1), 1)[0])
