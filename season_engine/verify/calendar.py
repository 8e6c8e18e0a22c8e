"""The calendar a forecast has to beat: the dates of the site's last observed years."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist, fmean, stdev

import numpy as np

from season_engine.phenology.date_odds import DateOdds

LOG_SEASONS = 15  # the last observed ones; a mean frozen decades ago is easily beaten, for it has warmed
LEAST_SPREAD_DAYS = 0.5
REACH_SPREADS = 6.0


@dataclass(frozen=True, slots=True)
class Calendar:
    """What a log of earlier years says of the next; days of the season.

    As odds it is a normal distribution with the log's mean and spread, the mean's own error included. On the
    twelve stations of tests/data/japan up to 2005 it scored better than the logged days themselves as odds,
    for each event and lead, so it is the harder one to beat.
    """

    mean: float
    spread: float

    @classmethod
    def of(cls, log: Sequence[float]) -> Calendar:
        """From the days of at least two earlier seasons, in order; the last 15 count."""
        last = log[-LOG_SEASONS:]
        spread = stdev(last) * (1 + 1 / len(last)) ** 0.5
        return cls(fmean(last), max(spread, LEAST_SPREAD_DAYS))

    def issue_day(self, lead_weeks: float) -> int:
        """Day so many weeks before the mean, to the nearest whole one."""
        return int(np.floor(self.mean - 7 * lead_weeks + 0.5))

    def day(self, issued_day: int | None) -> float:
        """The day it names: the middle of its odds, cut at the day of issue, as a forecast's is."""
        return float(self.forecast(issued_day).by(0.5))

    def forecast(self, issued_day: int | None) -> DateOdds:
        """Odds by whole days; the part up to the day of issue, where there is one, is cut off."""
        reach = REACH_SPREADS * self.spread
        first = int(np.floor(self.mean - reach)) if issued_day is None else issued_day + 1
        days = np.arange(first, max(first, int(np.ceil(self.mean + reach))) + 1, dtype=np.float64)
        normal = NormalDist(self.mean, self.spread)
        reached = np.array([normal.cdf(day) for day in (*(days - 0.5).tolist(), days[-1] + 0.5)])
        weights = np.diff(reached)
        return DateOdds(days, weights / weights.sum())
