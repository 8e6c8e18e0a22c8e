"""The season's heat and chill so far, beside what past seasons brought."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.facts import CHILL_PORTIONS, HeatUnit, Unit
from season_engine.measures.heat import BASE_C
from season_engine.traces import SeasonView
from season_engine.traces.running_sums import RunningSum, running_sum

FEWEST_DAYS = 21  # of a season, before it can be likened to another


@dataclass(frozen=True, slots=True)
class PastSum:
    """A past season's running total, one value a day."""

    season: str  # its name, such as 2019/20
    sums: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SeasonSum:
    """A running total over the days of one season, this season's against past ones.

    `so_far` ends at the last reading and may be shorter than `days`; the quantiles over past
    seasons have one value per day, in `unit`, and so has each of `past`.
    """

    name: Literal["heat", "chill"]
    unit: Unit
    days: tuple[dt.date, ...]
    so_far: tuple[float, ...]
    p10: tuple[float, ...]
    p50: tuple[float, ...]
    p90: tuple[float, ...]
    past: tuple[PastSum, ...] = ()

    def __post_init__(self) -> None:
        past = (len(one.sums) for one in self.past)
        lengths = {len(self.days), len(self.p10), len(self.p50), len(self.p90), *past}
        if len(lengths) != 1 or len(self.so_far) > len(self.days):
            raise ValueError(f"season sum {self.name!r}: one value per day is needed, not {sorted(lengths)}")

    @property
    def nearest(self) -> PastSum | None:
        """The past season whose sum was nearest to this one's, on the mean of the days so far.

        None while there are too few days, or before anything was counted.
        """
        if len(self.so_far) < FEWEST_DAYS or not any(self.so_far):
            return None
        return min(self.past, key=self._apart, default=None)

    def _apart(self, other: PastSum) -> float:
        return float(np.mean(np.abs(np.subtract(self.so_far, other.sums[: len(self.so_far)]))))


def season_sums(view: SeasonView) -> tuple[SeasonSum, SeasonSum]:
    """Chill since the season's start and heat since midwinter, of the season the day falls into."""
    return (
        _sum("chill", CHILL_PORTIONS, running_sum(view, "chill_portions")),
        _sum("heat", HeatUnit(BASE_C), running_sum(view, "gdd_c")),
    )


def _sum(name: Literal["heat", "chill"], unit: Unit, found: RunningSum) -> SeasonSum:
    def told(line: NDArray[np.float64]) -> tuple[float, ...]:
        return tuple(np.round(line, 2).tolist())

    p10, p50, p90 = map(told, found.quantiles)
    past = map(PastSum, found.seasons, map(told, found.past))
    days = tuple(found.days.tolist())
    return SeasonSum(name, unit, days, told(found.so_far), p10, p50, p90, tuple(past))
