"""The trees to work first: those that lose most by waiting."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.advice.hindsight import PastErrors
from season_engine.species.jobs import JOBS
from season_engine.windows.assessment import Assessment

TO_WORK = 2
LATER_WEEKS = 2
NEAR = dt.timedelta(weeks=8)
SAME = 0.02  # what is better done later by more than this is not to be done first


@dataclass(frozen=True, slots=True)
class Choice:
    """One job on the trees of one species, to be done before others."""

    assessments: tuple[Assessment, ...]  # one a tree; the species' own where no trees are kept
    lost: float  # chance of an open window and no harm after: today's less that in two weeks
    past_errors: PastErrors | None = None

    @property
    def first(self) -> Assessment:
        """The one to speak of."""
        return self.assessments[0]


def to_work_first(assessments: Iterable[Assessment], most: int = TO_WORK) -> tuple[Choice, ...]:
    """At most so many jobs that are due and may be done today, what waiting costs most first.

    Then what closes first. No tree is named twice: one job at a time. What closes weeks from now and loses
    nothing by waiting presses nobody, nor does what may be done and isn't due.
    """
    alike: dict[tuple[str, str, str], list[Assessment]] = {}
    for a in assessments:
        wanted = a.need is None or a.due
        may = a.today == "do" and JOBS[a.job].rank == "bench"
        if wanted and may and a.ahead and _presses(a):
            alike.setdefault((a.species, a.job, a.window), []).append(a)
    waiting = sorted((Choice(tuple(group), _lost(group)) for group in alike.values()), key=_order)
    chosen: list[Choice] = []
    for choice in waiting:
        named = {a.tree for one in chosen for a in one.assessments} - {None}
        left = tuple(a for a in choice.assessments if a.tree not in named)
        if left and len(chosen) < most:
            chosen.append(Choice(left, _lost(left)))
    return tuple(chosen)


def _presses(a: Assessment) -> bool:
    lost = _lost([a])
    near = a.closes.p50 is not None and a.closes.p50 <= a.as_of + NEAR
    return lost > SAME or (lost >= -SAME and near)


def _lost(group: Iterable[Assessment]) -> float:
    return max(a.ahead[0].chance_good - a.ahead[LATER_WEEKS].chance_good for a in group)


def _order(choice: Choice) -> tuple[float, dt.date, str]:
    """What waiting costs: the odds lost, by what the job wants of them, as 4 to 1; then what closes first."""
    a = choice.first
    floor = JOBS[a.job].floor
    cost = choice.lost * floor / (1 - floor)
    return -round(cost, 2), a.closes.p50 or dt.date.max, a.common_name
