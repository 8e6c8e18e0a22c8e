"""The odds of a frost in each of the coming weeks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.traces.trace_set import TraceSet

WEEKS = 10
WORTH_SHOWING = 0.05  # weeks all below this are no news


@dataclass(frozen=True, slots=True)
class FrostWeek:
    """Chance of at least one night as cold as the level between two dates, both included."""

    first: dt.date
    last: dt.date
    chance: float


@dataclass(frozen=True, slots=True)
class FrostOdds:
    """The coming weeks at one level."""

    level_c: float
    weeks: tuple[FrostWeek, ...]


def frost_odds(traces: TraceSet, on: dt.date, levels_c: Iterable[float]) -> tuple[FrostOdds, ...]:
    """Odds of a night at or below each level at the pots, the mildest level first.

    What is left of this ISO week after `on` and the whole weeks after it, `WEEKS` in all. A level is left out
    where no week is in doubt: each below `WORTH_SHOWING` or certain.
    """
    told = (FrostOdds(level, frost_weeks(traces, on, level)) for level in sorted(set(levels_c), reverse=True))
    return tuple(odds for odds in told if any(WORTH_SHOWING <= week.chance < 1 for week in odds.weeks))


def frost_weeks(traces: TraceSet, on: dt.date, level_c: float) -> tuple[FrostWeek, ...]:
    """What is left of this ISO week after `on` and the whole weeks after it, `WEEKS` in all, at one level."""
    cold = traces.tmin_c - traces.site.bench_frost_allowance_c <= level_c
    first = on + dt.timedelta(days=1)
    monday = first - dt.timedelta(days=first.weekday())
    weeks = []
    for week in range(WEEKS):
        last = monday + dt.timedelta(weeks=week, days=6)
        had_one = cold[:, traces.column(first) : traces.column(last) + 1].any(axis=1)
        weeks.append(FrostWeek(first, last, round(float(traces.weights[had_one].sum()), 9)))
        first = last + dt.timedelta(days=1)
    return tuple(weeks)
