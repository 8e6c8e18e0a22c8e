"""The trees to work first: what is due and near, in the order of what waiting costs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from season_engine.advice.hindsight import PastErrors
from season_engine.species.jobs import JOBS
from season_engine.species.work import hours_of, seasons_lost
from season_engine.tree import Size, Stage, Tree
from season_engine.windows.assessment import Assessment

NEAR = dt.timedelta(weeks=8)
SAME = 0.02  # what is better done later by more than this is not to be done first
WEEK_COUNTS = (0.4, 0.3, 0.2, 0.1)  # how much a chance lost by each of the next four weeks counts
STANDING = 0.02  # of the best chance: what orders those that lose nothing by waiting
WORTH_WAITING = 0.2
HELD = 0.5  # of the weight, where it can't be done today
ANOTHER_WINDOW = 0.5  # of it, where the job has a window later in the year
LOW_CERTAINTY = 0.8  # of it, where its closing rests on memory alone
YEAR = dt.timedelta(days=330)
WITHOUT_TREES = 2  # jobs that are told where no trees are kept
USUAL_STAGE: Stage = "training"  # where nobody said
HoursOf = Callable[[str, Size], float | None]


@dataclass(frozen=True, slots=True)
class Choice:
    """One job on trees of one species that share its dates, to be done before those after it."""

    assessments: tuple[Assessment, ...]  # one a tree; the species' own where no trees are kept
    weight: float  # seasons of progress that waiting is likely to cost
    hours: float | None = None  # for all of them
    past_errors: PastErrors | None = None

    @property
    def first(self) -> Assessment:
        """The one to speak of."""
        return self.assessments[0]

    @property
    def lost(self) -> float:
        """Chance of an open window and no harm after: today's less that in two weeks."""
        return max(_lost(a) for a in self.assessments)

    @property
    def last_good_day(self) -> dt.date | None:
        """The last day on which the odds are what the job wants of them, never before the best."""
        a = self.first
        closes = a.standing.closes or a.closes.p50
        if closes is None:
            return None
        return max(closes - dt.timedelta(days=1), a.as_of, a.best or a.as_of)

    @property
    def first_good_day(self) -> dt.date | None:
        """The first day of the weeks ahead with the odds the job wants, not before it opens; None: never."""
        a = self.first
        good = next((week.date for week in a.ahead if week.chance_good >= a.floor), None)
        return None if good is None else max(good, a.standing.opens or good)

    @property
    def better_later(self) -> bool:
        """Whether a fortnight's waiting gains so much of its chance that nobody would do it today."""
        good = [week.chance_good for week in self.first.ahead[:3]]
        return bool(good) and max(good) - good[0] >= WORTH_WAITING


def work_first(
    assessments: Iterable[Assessment], trees: Iterable[Tree] = (), hours: HoursOf = hours_of
) -> tuple[Choice, ...]:
    """Every job that is due on a tree and in or near its window, what waiting costs most first.

    A job with several windows at hand, as where schools disagree, is told once: in the one that weighs most.
    Where no trees are kept, the few of the species' jobs that press most today.
    """
    kept = {tree.id: tree for tree in trees}
    alike: dict[tuple[object, ...], list[_Weighed]] = {}
    for one in _one_window_each(assessments, kept):
        alike.setdefault(_dates(one.window), []).append(one)
    in_order = tuple(sorted((_choice(group, kept, hours) for group in alike.values()), key=_order))
    return in_order if any(one.first.tree for one in in_order) else in_order[:WITHOUT_TREES]


class _Weighed(NamedTuple):
    weight: float
    window: Assessment


def _one_window_each(assessments: Iterable[Assessment], kept: Mapping[str, Tree]) -> Iterable[_Weighed]:
    """Of each tree's windows for a job the one that weighs most; the first of equals."""
    judged = tuple(assessments)
    windows: dict[tuple[object, ...], list[Assessment]] = {}
    for a in judged:
        windows.setdefault((a.tree, a.species, a.job), []).append(a)
    best: dict[tuple[object, ...], _Weighed] = {}
    for a in judged:
        if _told(a):
            key = a.tree, a.species, a.job
            one = _Weighed(_weight(a, windows[key], kept), a)
            best[key] = max(best.get(key, one), one, key=lambda weighed: weighed.weight)
    return best.values()


def _choice(group: Sequence[_Weighed], kept: Mapping[str, Tree], hours: HoursOf) -> Choice:
    alike = tuple(one.window for one in group)
    each = [hours(a.job, kept[a.tree].size) for a in alike if a.tree and a.tree in kept]
    told = [one for one in each if one is not None]
    return Choice(alike, group[0].weight, sum(told) if told and len(told) == len(alike) else None)


def _told(a: Assessment) -> bool:
    if not (JOBS[a.job].told_in_full and a.at_hand and a.ahead and a.seldom_well is None):
        return False
    return a.due if a.need is not None else a.today == "do" and _presses(a)


def _presses(a: Assessment) -> bool:
    lost = _lost(a)
    near = a.closes.p50 is not None and a.closes.p50 <= a.as_of + NEAR
    return lost > SAME or (lost >= -SAME and near)


def _lost(a: Assessment) -> float:
    return a.ahead[0].chance_good - a.ahead[2].chance_good


def _dates(a: Assessment) -> tuple[object, ...]:
    good = tuple(round(week.chance_good, 2) for week in a.ahead)
    return a.species, a.job, a.window, a.today, good, a.standing.closes


def _weight(a: Assessment, windows: Iterable[Assessment], kept: Mapping[str, Tree]) -> float:
    """Need x cost of missing x odds lost by waiting."""
    tree = kept.get(a.tree or "")
    stage = tree.stage if tree and tree.stage else USUAL_STAGE
    weight = seasons_lost(a.job, stage) * odds_lost([week.chance_good for week in a.ahead])
    weight *= 1.0 if a.may_be_done else HELD
    weight *= ANOTHER_WINDOW if _again_this_year(a, windows) else 1.0
    closing = [reason for reason in a.reasons if reason.role == "closes"]
    from_memory = bool(closing) and all(reason.provenance == "memory" for reason in closing)
    return weight * (LOW_CERTAINTY if from_memory else 1.0)


def odds_lost(good: Sequence[float]) -> float:
    """What waiting is likely to lose of the chance that it goes well, of now and the next four weeks."""
    falls = (max(0.0, good[0] - later) for later in good[1:])
    lost = sum(share * fall for share, fall in zip(WEEK_COUNTS, falls, strict=True))
    return lost + STANDING * max(good)


def _again_this_year(a: Assessment, windows: Iterable[Assessment]) -> bool:
    """Whether another of the tree's windows for the job comes within the year."""
    closes = a.closes.p50 or a.as_of
    for b in windows:
        ahead = b.next.opens.p50 if b.verdict == "closed" and b.next else b.opens.p50
        may = b.window != a.window and not b.left_alone and b.seldom_well is None
        if may and ahead and closes < ahead <= a.as_of + YEAR:
            return True
    return False


def _order(choice: Choice) -> tuple[float, dt.date, str]:
    a = choice.first
    return -round(choice.weight, 4), a.closes.p50 or dt.date.max, a.common_name
