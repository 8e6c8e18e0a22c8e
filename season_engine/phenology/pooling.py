"""What notes of other kinds say of one: a yard that runs late for the rest likely does so for it as well.

A note differs from the catalogue's rule by what the yard has for all kinds, by what it has for this kind, by
its tree and by the year. The lasting part of a rule's error is the yard's and the kind's; which share is the
yard's is learnt from how far its kinds agree, by marginal likelihood.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# Of the variance of a rule's lasting error, what a yard has for all of its kinds: tried, each as likely.
YARD_SHARES = np.array([0.0, 0.15, 0.35, 0.6])
# Trees of one kind differ by so much, every year: from 2 in a wild stand (Harvard) to 4.3 in a collection.
TREE_DAYS = 3.0


@dataclass(frozen=True)
class KindTaught:
    """What the notes of one kind came to."""

    difference_days: float  # noted later than the rule gave, in the mean, slips left out
    variance: float  # of that mean, by how the years and trees stray, days squared
    lasting_days: float  # of the rule's error, what a yard and a kind have every year


@dataclass(frozen=True)
class Prior:
    """What is known of a kind's lasting difference before its own notes."""

    mean_days: float
    sd_days: float


def prior(others: Sequence[KindTaught], lasting_days: float) -> Prior:
    """How late a kind likely runs in a yard by the notes of the others.

    Each share of the yard's is a model of its own, with normal errors; they count by how likely they make
    what was noted (empirical Bayes).
    """
    if not others:
        return Prior(0.0, lasting_days)
    noted, spread, lasting = (
        np.array([getattr(one, name) for one in others])
        for name in ("difference_days", "variance", "lasting_days")
    )
    yard = YARD_SHARES * float((lasting**2).mean())  # variance, shape (shares,)
    apart = (1.0 - YARD_SHARES)[:, None] * lasting**2 + spread  # (shares, kinds)
    # 1 / yard + sum(1 / apart), in a form that holds for a yard without a share
    held = 1.0 + yard * (1.0 / apart).sum(axis=1)
    mean = yard * (noted / apart).sum(axis=1) / held
    log_odds = -0.5 * (
        np.log(apart).sum(axis=1)
        + np.log(held)
        + (noted**2 / apart).sum(axis=1)
        - mean * (noted / apart).sum(axis=1)
    )
    odds = np.exp(log_odds - log_odds.max())
    odds /= odds.sum()
    variance = yard / held + (1.0 - YARD_SHARES) * lasting_days**2
    middle = float(odds @ mean)
    return Prior(middle, float(np.sqrt(odds @ (variance + mean**2) - middle**2)))


def counting_for(tree: str, trees: Sequence[str], weights: FloatArray, year_days: float) -> FloatArray:
    """Weights of notes for one tree of their kind: those of another tree tell less of it, however many.

    Shape (notes,). For no tree in particular (an empty id) each counts with what trees differ by; a note
    without a tree counts fully.
    """
    found = weights.copy()
    for other in set(trees) - {tree, ""}:
        its = np.array([one == other for one in trees])
        apart = TREE_DAYS**2 * (2.0 if tree else 1.0)
        found[its] *= year_days**2 / (year_days**2 + apart * weights[its].sum())
    return found
