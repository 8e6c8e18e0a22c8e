"""What forecasts claim, whether it came true, and how often a perfect forecaster would seem not to hold it.

A claim is a range of days, or "it has come by then", with the chance it states. Claims of one year are not
independent: stations share its weather. So a share that came true has an interval from whole years drawn
anew, and a kind of claims "misses" where that interval leaves out what was claimed.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

DRAWS = 1000  # of years, for an interval
SEED = 1
TAILS = (0.025, 0.975)  # of 95 in 100
REPEATS = 200  # of what a perfect forecaster's years would have brought


@dataclass(frozen=True)
class Claims:
    """Claims of one kind, all arrays of shape (claims,).

    A truth drawn from the very odds that were told is their day by a share u, even between 0 and 1: the claim
    comes true for `after` < u <= `upto`. Ends of ranges are whole days, so a range of "80 in 100" has more of
    the odds in it (`upto` - `after`) than it says.
    """

    said: FloatArray
    came: FloatArray  # 1 where it came true, else 0
    after: FloatArray
    upto: FloatArray
    year: IntArray
    season: IntArray  # a number for each season of a station and species, as its claims share one truth

    def __len__(self) -> int:
        return self.said.size

    def where(self, chosen: NDArray[np.bool_]) -> Claims:
        """Some of them."""
        return Claims(*(getattr(self, one.name)[chosen] for one in fields(self)))

    @classmethod
    def joined(cls, parts: Sequence[Claims]) -> Claims:
        """All of several kinds, at least one."""
        return cls(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in fields(cls)))

    @property
    def share(self) -> float:
        """Share that came true."""
        return float(self.came.mean())

    @property
    def mean_said(self) -> float:
        return float(self.said.mean())

    @property
    def in_odds(self) -> float:
        """Share that comes true of the claims of a perfect forecaster."""
        return float((self.upto - self.after).mean())

    @property
    def between(self) -> tuple[float, float]:
        """Interval of the share that came true, 95 in 100, by the years."""
        low, high = self._between(self.came[None])
        return float(low[0]), float(high[0])

    @property
    def misses(self) -> bool:
        """Whether that interval leaves out what was claimed."""
        low, high = self.between
        return not low <= self.mean_said <= high

    @property
    def misses_its_odds(self) -> bool:
        """Whether it leaves out what the odds have in it, whole days and all."""
        low, high = self.between
        return not low <= self.in_odds <= high

    def missed_if_true(self, shared_years: bool) -> FloatArray:
        """How likely it would miss, and miss its odds, if truths were drawn from these, by 200 repeats.

        Each station's season by itself, or, with `shared_years`, all of a year at the same share of their
        odds: two bounds of how much a year's seasons have in common.
        """
        keys = self.year if shared_years else self.season
        _, place = np.unique(keys, return_inverse=True)
        share = np.random.default_rng(SEED).random((REPEATS, int(place.max()) + 1))[:, place]
        low, high = self._between(((self.after < share) & (share <= self.upto)).astype(np.float64))
        claimed = np.array([[self.mean_said], [self.in_odds]])
        return np.asarray(1.0 - ((low <= claimed) & (claimed <= high)).mean(axis=-1))

    def _between(self, came: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Intervals of the share of each row of shape (rows, claims)."""
        by_year = by_years(self.year, np.concatenate([came, np.ones((1, len(self)))]))
        drawn = by_year @ years_drawn(by_year.shape[-1])
        low, high = np.quantile(drawn[:-1] / drawn[-1], TAILS, axis=-1)
        return low, high


def by_years(year: IntArray, columns: FloatArray) -> FloatArray:
    """Sums of columns (n, claims) by year, shape (n, years)."""
    years, place = np.unique(year, return_inverse=True)
    return columns @ (place[:, None] == np.arange(years.size)).astype(np.float64)


def years_drawn(years: int) -> FloatArray:
    """How often each year is drawn, shape (years, draws)."""
    return np.random.default_rng(SEED).multinomial(years, np.full(years, 1 / years), DRAWS).T.astype(float)


def skill_between(year: IntArray, crps: FloatArray, calendar: FloatArray) -> tuple[float, float]:
    """Interval of the CRPS skill, 95 in 100, by the years."""
    by_year = by_years(year, np.stack([crps, calendar]))
    forecast, beaten = by_year @ years_drawn(by_year.shape[-1])
    low, high = np.quantile(1.0 - forecast / beaten, TAILS)
    return float(low), float(high)


def missed_if_true(kinds: Sequence[Claims], *, shared_years: bool) -> FloatArray:
    """Number of kinds of claims that a perfect forecaster would miss, and whose odds, on the mean."""
    from joblib import Parallel, delayed

    work = (delayed(one.missed_if_true)(shared_years) for one in kinds)
    return np.sum(Parallel(n_jobs=os.cpu_count(), batch_size=20)(work), axis=0)
