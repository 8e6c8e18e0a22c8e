"""Whether a job on a tree is due, may be done, or must be left, and why."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from season_engine.note import DYING
from season_engine.species.jobs import JOBS
from season_engine.species.kinds import is_kind
from season_engine.species.needs import NeedState, state_by_stage
from season_engine.species.schema import Window, Years
from season_engine.species.spacing import Asked
from season_engine.tree import Tree
from season_engine.trees.growth import GrowthDates
from season_engine.trees.history import History
from season_engine.trees.need_why import (
    Barred,
    BySigns,
    ByStage,
    ByYears,
    InParts,
    NeedWhy,
    NoDateKnown,
    OldAndUnknown,
    Part,
    Sick,
    ToRescue,
    Weak,
)
from season_engine.trees.programme import Programme, programme_of
from season_engine.trees.spacing import Bar, Event, Rules, bars_on, events_of, months_on

DAYS_A_YEAR = 365.25
ONE_WINTER = dt.timedelta(weeks=20)
SETTLING = dt.timedelta(days=60)  # after root work, as trimming waits: common practice, no source
ENOUGH_SIGNS = 2  # at the roots, for it to be due before its years: common practice, no source


@dataclass(frozen=True, slots=True)
class Need:
    """What a tree needs of a job on a day."""

    state: NeedState
    why: NeedWhy
    rule: str  # its name in the catalogue, or what else decided
    last: dt.date | None = None  # when it was last done, or the work that bars it
    allowed: dt.date | None = None  # from when on it may be done, of one that is left


@dataclass(frozen=True, slots=True)
class TreeCase:
    """One tree on a day, with all that decides about its jobs."""

    history: History
    rules: Rules
    growth: GrowthDates
    events: tuple[Event, ...]  # all that happened to it
    programme: Programme | None = None  # where its root ball is renewed in parts
    _bars: dict[tuple[Asked, dt.date], tuple[Bar, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )  # once worked out: a dozen windows ask for the same

    def bars(self, asked: Asked, day: dt.date) -> tuple[Bar, ...]:
        """What keeps a piece of work from it on a day."""
        key = asked, day
        if key not in self._bars:
            self._bars[key] = bars_on(asked, self.events, self.rules, self.growth, self.history, day)
        return self._bars[key]

    def allowed_from(self, asked: Asked, day: dt.date) -> dt.date | None:
        """The first day from `day` on that nothing keeps it from; None: no day is known yet."""
        while bars := self.bars(asked, day):
            if bars[0].until is None:
                return None
            day = bars[0].until
        return day


def tree_case(history: History, rules: Rules, growth: GrowthDates, on: dt.date) -> TreeCase:
    """One tree on a day; `history` holds nothing later."""
    events = events_of(history, growth)
    return TreeCase(history, rules, growth, events, programme_of(history, events, rules, growth, on))


_ASKED: dict[str, Asked] = {
    "repotting": "root work",
    "sectional-repotting": "section",
    "decandling": "decandling",
    "structural-pruning": "pruning",
    "needle-work": "needle-work",
    "trimming": "trimming",
    "pinching": "pinching",
    "candle-shortening": "candle-shortening",
    "cut-back": "cut-back",
    "after-bloom-pruning": "after-bloom-pruning",
    "winter-tidy": "winter-tidy",
    "bud-thinning": "bud-thinning",
    "feeding": "feeding",
}


def asked_by(window: Window) -> Asked:
    """The work that a window is for, as the rules of spacing see it."""
    if window.job == "defoliation":
        return "partial defoliation" if window.amount == "medium" else "whole defoliation"
    return _ASKED.get(window.job, "other work")


def is_for(window: Window, tree: Tree) -> bool:
    """Whether a window is for a tree of this size that came so, or whose root ball is renewed in parts."""
    origins = JOBS[window.job].origins
    return window.size in (None, tree.size) and (
        not origins or tree.origin in origins or tree.root_parts is not None
    )


def need_of(case: TreeCase, window: Window, by: dt.date) -> Need:
    """What a tree needs of a window's job, were it done on `by`: today, or when the window opens."""
    tree, job = case.history.tree, JOBS[window.job]
    dying = frozenset(case.history.signs).intersection(DYING)
    if job.roots and dying and not _whole_of_a_ball_in_parts(case, window):
        return Need("due", ToRescue(dying), "rescue", case.history.last(window.job))
    if case.history.sick_on is not None and not job.helps:
        return Need("leave", Sick(case.history.sick_on), "illness", case.history.sick_on)
    if tree.vigour == "weak" and not job.helps and not (job.roots and _suffering(case.history)):
        return Need("leave", Weak(), "weak", case.history.vigour_on)
    asked = asked_by(window)
    if bars := case.bars(asked, by):
        left = Need("leave", Barred(bars[0]), bars[0].rule, bars[0].since, case.allowed_from(asked, by))
        repotted = window.job == bars[0].job == "repotting"
        return _by_years_rather(case, by, left) if repotted else left
    if window.job == "repotting":
        return _repotting(case, by)
    if window.job == "sectional-repotting":
        return _section(case)
    return _by_stage(case, window, by)


def _by_stage(case: TreeCase, window: Window, by: dt.date) -> Need:
    """By how far it is on its way; a light round keeps nothing from a tree, but was this winter's.

    Roots just worked keep no light or medium pruning from a tree, but nothing presses for it.
    """
    stage, last = case.rules.stage, case.history.last(window.job)
    state = state_by_stage(window.job, case.rules.species, stage, case.history.tree.vigour)
    if state == "due" and JOBS[window.job].varies:
        roots = case.history.roots_on
        done = last is not None and by - last < ONE_WINTER
        settling = window.job == "structural-pruning" and roots is not None and by - roots < SETTLING
        state = "may" if done or settling else state
    return Need(state, ByStage(stage, state), "stage", last)


def _by_years_rather(case: TreeCase, by: dt.date, barred: Need) -> Need:
    """Of two reasons to leave a tree unrepotted the longer: its last repotting, or its years."""
    years = _repotting(case, by)
    later = years.allowed and barred.allowed and years.allowed > barred.allowed
    return years if years.state == "leave" and later else barred


def _suffering(history: History) -> bool:
    return len(history.signs) >= ENOUGH_SIGNS


def _whole_of_a_ball_in_parts(case: TreeCase, window: Window) -> bool:
    """Whether the whole ball is asked about, of a tree whose ball is renewed in parts."""
    return case.programme is not None and window.job == "repotting"


def _repotting(case: TreeCase, by: dt.date) -> Need:
    """By the years since its roots were worked, moved by what is seen at them."""
    history, rules = case.history, case.rules
    last = history.roots_on
    if case.programme is not None and case.programme.left:
        return Need("leave", InParts(case.programme.parts), "in-parts", last)
    if case.programme is not None:
        last = case.programme.done[-1].on
    signs, every = frozenset(history.signs), rules.species.repotted_every
    years = every.years(rules.stage, history.tree.size) if every else None
    state = _by_years(case, last, years, by)
    if len(signs) >= {"leave": ENOUGH_SIGNS, "may": 1, "due": 0}[state] and signs and state != "due":
        return Need("due", BySigns(signs, last), "signs", last)
    if last is None:
        return Need(state, OldAndUnknown() if state == "leave" else NoDateKnown(), "no-date")
    if years is None:
        return Need("may", NoDateKnown(), "no-interval", last)
    again = months_on(last, 12 * years.least) if state == "leave" else None
    return Need(state, ByYears(last, years, state), "years", last, again)


def _by_years(case: TreeCase, last: dt.date | None, years: Years | None, by: dt.date) -> NeedState:
    if last is None:
        old = case.rules.stage == "old" and is_kind(case.rules.species, "conifer")
        return "leave" if old else "may"
    if years is None:
        return "may"
    # To the nearest whole year: no window falls on the same days every year.
    passed = round((by - last).days / DAYS_A_YEAR)
    return "leave" if passed < years.least else "may" if passed < years.most else "due"


def _section(case: TreeCase) -> Need:
    programme = case.programme
    if programme is None:
        return Need("may", NoDateKnown(), "in-parts")
    last = programme.done[-1].on if programme.done else None
    state: NeedState = "leave" if programme.stopped or programme.left == 0 else "due"
    return Need(state, Part(programme), "in-parts", last)
