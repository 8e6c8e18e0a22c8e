"""Markers that go by a yard's own dates: where the weather of past seasons told nothing of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

FEWEST_HINDCASTS = 30  # dates of a marker before its rule is judged by them
FEWEST_SEASONS = 5  # in which they lie
# What is thought of a yard's usual date before its own are known: about the rule's, and with little trust.
LASTING_DAYS = 15.0


@dataclass(frozen=True)
class NotedDate:
    """A marker's date as notes have it and how far it strays; one a case, NaN where its rule dates it."""

    column: ArrayLike
    sd_days: ArrayLike


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
