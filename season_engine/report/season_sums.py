"""The season's heat and chill so far, beside what past seasons brought."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

import numpy as np

from season_engine.facts import CHILL_PORTIONS, HeatUnit, Unit
from season_engine.measures.heat import BASE_C
from season_engine.traces import SeasonView
from season_engine.traces.running_sums import RunningSum, running_sum


@dataclass(frozen=True, slots=True)
class SeasonSum:
    """A running total over the days of one season, this season's against past ones.

    `so_far` ends at the last reading and may be shorter than `days`; the quantiles over past
    seasons have one value per day, in `unit`.
    """

    name: Literal["heat", "chill"]
    unit: Unit
    days: tuple[dt.date, ...]
    so_far: tuple[float, ...]
    p10: tuple[float, ...]
    p50: tuple[float, ...]
    p90: tuple[float, ...]

    def __post_init__(self) -> None:
        lengths = {len(self.days), len(self.p10), len(self.p50), len(self.p90)}
        if len(lengths) != 1 or len(self.so_far) > len(self.days):
            raise ValueError(f"season sum {self.name!r}: one value per day is needed, not {sorted(lengths)}")


def season_sums(view: SeasonView) -> tuple[SeasonSum, SeasonSum]:
    """Chill since the season's start and heat since midwinter, of the season the day falls into."""
    return (
        _sum("chill", CHILL_PORTIONS, running_sum(view, "chill_portions")),
        _sum("heat", HeatUnit(BASE_C), running_sum(view, "gdd_c")),
    )


def _sum(name: Literal["heat", "chill"], unit: Unit, found: RunningSum) -> SeasonSum:
    lines = (found.so_far, *found.quantiles)
    days = tuple(found.days.tolist())
    return SeasonSum(name, unit, days, *(tuple(np.round(line, 2).tolist()) for line in lines))
