"""Markers that go by a yard's own dates: where the weather of past seasons told nothing of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

FEWEST_HINDCASTS = 30  # dates of a marker before its rule is judged by them
FEWEST_SEASONS = 5  # in which they lie
LEAST_ODDS = 1e-6
NORMAL = NormalDist()
# What is thought of a yard's usual date before its own are known: about the rule's, and with little trust.
LASTING_DAYS = 15.0


@dataclass(frozen=True)
class NotedDate:
    """A marker's date as notes have it and how far it strays; one a case, NaN where its rule dates it."""

    column: ArrayLike
    sd_days: ArrayLike
    first: float = -np.inf  # the columns between which it must lie; of one case
    last: float = np.inf

    def at(self, shares: Sequence[float]) -> FloatArray:
        """The columns by which it comes with such odds: a normal curve, cut at its ends; (..., shares)."""
        column, sd_days = np.asarray(self.column)[..., None], np.asarray(self.sd_days)[..., None]
        if np.isnan(column).all():  # as of most markers: their rules date them
            return np.full((*column.shape[:-1], len(shares)), np.nan)
        low, high = (float(NORMAL.cdf(self._sds(end))) for end in (self.first - 0.5, self.last + 0.5))
        if high - low < LEAST_ODDS:  # it lies outside, against all odds: at the nearer end
            return np.full(len(shares), np.clip(self.column, self.first, self.last), np.float64)
        places = np.array(_places(low, high, tuple(shares)))
        return np.asarray(np.clip(column + sd_days * places, self.first, self.last))

    def _sds(self, end: float) -> float:
        """How many standard deviations an end lies from it."""
        return end if np.isinf(end) else float((end - np.asarray(self.column)) / np.asarray(self.sd_days))


@lru_cache(maxsize=256)  # most are cut nowhere
def _places(low: float, high: float, shares: tuple[float, ...]) -> list[float]:
    """Standard deviations from the middle by which such shares of what lies between two odds are reached."""
    return [NORMAL.inv_cdf(low + share * (high - low)) for share in shares]


BY_ITS_RULE = NotedDate(np.nan, np.nan)


def usual_column(columns: Mapping[int, float]) -> float:
    """Mean of what the rule gave in past seasons, by their first years; infinite where it gave none."""
    come = np.array([column for column in columns.values() if np.isfinite(column)])
    return float(come.mean()) if come.size else np.inf


def rule_is_beaten(noted: FloatArray, rule: FloatArray, seasons: IntArray) -> bool:
    """Whether over enough past dates the rule, each season's weather known, did no better than their mean.

    Each date is foretold from those of all other seasons: as their mean, and as what the rule gives for its
    own, moved by what they differ from the rule in the mean. All of shape (notes,).
    """
    if noted.size < FEWEST_HINDCASTS or np.unique(seasons).size < FEWEST_SEASONS:
        return False
    off_mean, off_rule = (np.abs(_less_other_seasons(values, seasons)) for values in (noted, noted - rule))
    return bool(off_rule.mean() >= off_mean.mean())


def _less_other_seasons(values: FloatArray, seasons: IntArray) -> FloatArray:
    """Each value less the mean of those of other seasons, shape (notes,)."""
    others = seasons[:, None] != seasons
    return np.asarray(values - (others * values).sum(axis=1) / others.sum(axis=1))
