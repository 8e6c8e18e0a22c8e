"""The season's heat and chill so far, beside what past seasons brought."""

from __future__ import annotations

from typing import Literal

import numpy as np

from season_engine.measures.heat import BASE_C
from season_engine.messages import Degrees, Message
from season_engine.report.contents import SeasonSum
from season_engine.traces import SeasonView
from season_engine.traces.running_sums import RunningSum, running_sum


def season_sums(view: SeasonView) -> tuple[SeasonSum, SeasonSum]:
    """Chill since the season's start and heat since midwinter, of the season the day falls into."""
    heat_unit = Message("growing degree days above {base}", base=Degrees(BASE_C))
    return (
        _sum("chill", Message("chill portions"), running_sum(view, "chill_portions")),
        _sum("heat", heat_unit, running_sum(view, "gdd_c")),
    )


def _sum(name: Literal["heat", "chill"], unit: str, found: RunningSum) -> SeasonSum:
    lines = (found.so_far, *found.quantiles)
    days = tuple(found.days.tolist())
    return SeasonSum(name, unit, days, *(tuple(np.round(line, 2).tolist()) for line in lines))
