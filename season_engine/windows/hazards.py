"""Weather that would hurt a tree in the weeks after a job, as odds over the traces."""

from __future__ import annotations

import datetime as dt

import numpy as np

from season_engine.species.schema import HazardRule
from season_engine.traces import TraceSet
from season_engine.windows.assessment import Hazard


def hazard_if_done(rule: HazardRule, traces: TraceSet, on: dt.date) -> Hazard:
    """Chance of the rule's event in the days after `on`; years without one count."""
    first = traces.column(on) + 1
    days = slice(first, first + rule.days)
    if rule.name == "frost":
        hit = (traces.tmin_c[:, days] <= rule.level_c).any(axis=1)
    else:
        hit = (traces.tmax_c[:, days] >= rule.level_c).any(axis=1)
    chance = float(traces.weights[hit].sum()) if len(traces) else float("nan")
    return Hazard(rule.name, chance, rule.days, _sentence(rule, chance))


def _sentence(rule: HazardRule, chance: float) -> str:
    event = (
        f"a night of {rule.level_c:g} degC or colder"
        if rule.name == "frost"
        else f"a day of {rule.level_c:g} degC"
    )
    return f"{odds(chance)} that {event} comes within {rule.days} days of doing it today"


def odds(chance: float) -> str:
    """Odds as a grower says them, to the nearest one in a hundred; never a false certainty."""
    hundredths = int(np.floor(chance * 100 + 0.5))
    if hundredths <= 0:
        return "less than 1 in 100"
    return "more than 99 in 100" if hundredths >= 100 else f"{hundredths} in 100"
