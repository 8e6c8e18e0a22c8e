"""Scores of a forecast day once the day is known.

Weight on "not reached" counts as lying on the day after the season's last (`SEASON_DAYS`), in every score and
every width. The CRPS is thus the integral over the season alone, which stays proper: a forecast gains nothing
by moving odds into or out of "not reached" against its own belief.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.forecast import Forecast

FloatArray = NDArray[np.float64]

SEASON_DAYS = 365.0


@dataclass(frozen=True, slots=True)
class Scored:
    """A forecast held against the day that came; days of the season throughout."""

    p10: float
    p25: float
    p50: float
    p75: float
    p90: float
    crps: float
    pit: float
    not_reached: float


@dataclass(frozen=True, slots=True)
class Summary:
    """Scores of many cases; days, shares 0..1."""

    n: int
    mae: float
    bias: float  # above 0: forecast too late
    rmse: float
    crps: float
    coverage50: float
    coverage80: float
    width50: float
    width80: float
    not_reached: float


def score(forecast: Forecast, day: float) -> Scored:
    """Everything that is kept of one forecast once the day is known."""
    low, lower, middle, upper, high = (day_by(forecast, odds) for odds in (0.1, 0.25, 0.5, 0.75, 0.9))
    return Scored(
        low, lower, middle, upper, high, crps(forecast, day), pit(forecast, day), forecast.not_reached
    )


def summary(cases: Sequence[Scored], days: Sequence[float]) -> Summary:
    """Means over cases, at least one; intervals hold a day that lies on their ends."""
    day = np.asarray(days, np.float64)
    p10, p25, p50, p75, p90, crps_days, _, missed = np.array(
        [(c.p10, c.p25, c.p50, c.p75, c.p90, c.crps, c.pit, c.not_reached) for c in cases]
    ).T
    error = p50 - day
    return Summary(
        n=day.size,
        mae=float(np.abs(error).mean()),
        bias=float(error.mean()),
        rmse=float(np.sqrt((error**2).mean())),
        crps=float(crps_days.mean()),
        coverage50=float(((p25 <= day) & (day <= p75)).mean()),
        coverage80=float(((p10 <= day) & (day <= p90)).mean()),
        width50=float((p75 - p25).mean()),
        width80=float((p90 - p10).mean()),
        not_reached=float(missed.mean()),
    )


def day_by(forecast: Forecast, odds: float) -> float:
    """Quantile, the day after the season where it is not reached with such odds."""
    return min(forecast.quantile(odds), SEASON_DAYS)


def crps(forecast: Forecast, day: float) -> float:
    """Continuous ranked probability score [days], exact for weighted days: E|X - y| - E|X - X'| / 2.

    Gneiting & Raftery (2007), Journal of the American Statistical Association 102, 359-378, equation 21 (from
    memory). The second term takes sorted days and running weights instead of all pairs.
    """
    days, weights = _with_not_reached(forecast)
    before = np.cumsum(weights) - weights
    half_spread = float((weights * days * (2.0 * before + weights - 1.0)).sum())
    return float((weights * np.abs(days - day)).sum()) - half_spread


def pit(forecast: Forecast, day: float) -> float:
    """Probability integral transform, half of the weight on the day itself counting as before it."""
    days, weights = _with_not_reached(forecast)
    return float(weights[days < day].sum() + 0.5 * weights[days == day].sum())


def pinball(quantile: float, odds: float, day: float) -> float:
    """Loss of a quantile: (y - q) (odds - 1[y < q])."""
    return (day - quantile) * (odds - float(day < quantile))


def interval_score(lower: float, upper: float, missed_odds: float, day: float) -> float:
    """Width of the central interval plus 2 / missed_odds for each day outside it."""
    outside = max(lower - day, 0.0) + max(day - upper, 0.0)
    return upper - lower + 2.0 / missed_odds * outside


def _with_not_reached(forecast: Forecast) -> tuple[FloatArray, FloatArray]:
    days = np.append(np.minimum(forecast.days, SEASON_DAYS), SEASON_DAYS)
    weights = np.append(forecast.weights, forecast.not_reached)
    return days, weights / weights.sum()
