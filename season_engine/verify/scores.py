"""Scores of a forecast day once the day is known.

Weight on "not reached" counts as lying on the day after the season's last (`SEASON_DAYS`), in every score and
every width. The CRPS is thus the integral over the season alone, which stays proper: a forecast gains nothing
by moving odds into or out of "not reached" against its own belief.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.phenology.date_odds import DateOdds

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


def score(odds: DateOdds, day: float) -> Scored:
    """Everything that is kept of one forecast once the day is known."""
    return scores(DateOdds(odds.days[None], odds.weights[None]), np.array([day]))[0]


def scores(odds: DateOdds, day: FloatArray) -> list[Scored]:
    """The same of many forecasts, shapes (cases, chances) and (cases,)."""
    quantiles = day_by(odds, (0.1, 0.25, 0.5, 0.75, 0.9))
    columns = [*quantiles, crps(odds, day), pit(odds, day), odds.not_reached]
    return [Scored(*row) for row in np.array(columns).T.tolist()]


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


def day_by(odds: DateOdds, share: ArrayLike) -> FloatArray:
    """Quantiles, the day after the season where it is not reached with such odds."""
    return np.minimum(odds.by(share), SEASON_DAYS)


def crps(odds: DateOdds, day: ArrayLike) -> FloatArray:
    """Continuous ranked probability score [days], exact for weighted days: E|X - y| - E|X - X'| / 2.

    Gneiting & Raftery (2007), Journal of the American Statistical Association 102, 359-378, equation 21 (from
    memory). The second term takes sorted days and running weights instead of all pairs. Shape (...).
    """
    order = np.argsort(odds.days, axis=-1)
    days = np.minimum(np.take_along_axis(odds.days, order, axis=-1), SEASON_DAYS)
    weights = np.take_along_axis(odds.weights, order, axis=-1)
    before = np.cumsum(weights, axis=-1) - weights
    half_spread = (weights * days * (2.0 * before + weights - 1.0)).sum(axis=-1)
    off = np.abs(days - np.asarray(day, np.float64)[..., None])
    return np.asarray((weights * off).sum(axis=-1) - half_spread)


def pit(odds: DateOdds, day: ArrayLike) -> FloatArray:
    """Probability integral transform, half of the weight on the day itself counting as before it; (...)."""
    days, known = np.minimum(odds.days, SEASON_DAYS), np.asarray(day, np.float64)[..., None]
    share = np.where(days < known, 1.0, np.where(days == known, 0.5, 0.0))
    return np.asarray((odds.weights * share).sum(axis=-1))
