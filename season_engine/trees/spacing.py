"""What a tree's past keeps from it: which rule, since which work, and until when."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.spacing import ALL_DONE, HEAVY, Asked, Done, Growth, Most, Rule
from season_engine.tree import Stage, Tree
from season_engine.trees.growth import GrowthDates
from season_engine.trees.history import History

USUAL_STAGE: Stage = "training"  # of a tree of which nobody said
HALF = 0.5
FOREVER = dt.date.max


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened to a tree, as the rules of spacing see it."""

    on: dt.date
    job: str  # done; or "arrival", "illness"
    done: frozenset[Done]
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Bar:
    """A rule that keeps a piece of work from a tree for now."""

    rule: str
    job: str  # since which it does: a job, or "arrival", "illness"
    since: dt.date
    until: dt.date | None  # None: until a sign that has no day yet
    growth: Growth | None = None  # the sign it waits for, beside the time
    good_seasons: int = 0  # of the tree, that it waits for beside the time
    school: str = ""

    @property
    def of_roots(self) -> bool:
        """Whether it is for work done on the roots."""
        return self.job in JOBS and JOBS[self.job].roots


@dataclass(frozen=True)
class Rules:
    """What the rules say to one tree: the first that fits decides, a grower's own before the others."""

    species: Species
    tree: Tree
    rules: Sequence[Rule]
    most: Sequence[Most]

    @property
    def stage(self) -> Stage:
        """How far the tree is, or is taken to be."""
        return self.tree.stage or USUAL_STAGE

    def rule_for(self, done: Done, asked: Asked, share: float | None = None) -> Rule | None:
        """The rule that decides between two pieces of work on this tree; None where none speaks of them."""
        return next((rule for rule in self._for_tree if _fits(rule, done, asked, share)), None)

    @cached_property
    def _for_tree(self) -> tuple[Rule, ...]:
        return tuple(
            rule
            for rule in self.rules
            if rule.is_for(self.species, self.stage, self.tree.vigour)
            and (rule.least_years is None or rule.least_years == self._least_years())
        )

    def _least_years(self) -> int | None:
        every = self.species.repotted_every
        return every.years(self.stage, self.tree.size).least if every else None

    @cached_property
    def heavy_a_cycle(self) -> Most:
        """How much heavy work it bears in a growth cycle."""
        return next(one for one in self.most if one.is_for(self.species, self.stage, self.tree.vigour))


def _fits(rule: Rule, done: Done, asked: Asked, share: float | None) -> bool:
    if done not in rule.after or not rule.speaks_of(asked):
        return False
    return not rule.halves or (share is not None and abs(share - HALF) <= 0.01)


def events_of(history: History, growth: GrowthDates) -> tuple[Event, ...]:
    """All that happened to a tree, the oldest first."""
    found = [
        Event(
            work.on,
            work.job,
            done_by(work.job, work.amount, late=growth.site.days_shorten(work.on)),
            work.share,
        )
        for work in history.works
    ]
    if (arrived := history.tree.arrived) is not None:
        kind: Done = "arrival from the other hemisphere" if history.tree.other_hemisphere else "arrival"
        found.append(Event(arrived, "arrival", frozenset({kind})))
    if history.well_on is not None:
        found.append(Event(history.well_on, "illness", frozenset({"illness"})))
    return tuple(sorted(found, key=lambda event: event.on))


def done_by(job: str, amount: str, *, late: bool) -> frozenset[Done]:
    """A job as the kinds of work that the rules speak of."""
    heavy = amount == "heavy"
    match job:
        case "repotting":
            return frozenset({"root work", "late root work" if late else "spring root work"})
        case "sectional-repotting":
            return frozenset({"section", "late root work"} if late else {"section"})
        case "defoliation":
            return frozenset({"whole defoliation" if heavy else "partial defoliation"})
        case "structural-pruning":
            by_amount: dict[str, frozenset[Done]] = {
                "heavy": frozenset({"pruning", "heavy pruning"}),
                "medium": frozenset({"pruning"}),
            }
            return by_amount.get(amount, frozenset())
        case "wiring":
            return frozenset({"big bend"} if heavy else ())
        case _:
            return frozenset(kind for kind in ALL_DONE if kind == job)


def bars_on(
    asked: Asked, events: Iterable[Event], rules: Rules, growth: GrowthDates, history: History, day: dt.date
) -> tuple[Bar, ...]:
    """What keeps a piece of work from a tree on a day, of what happened by then; what lasts longest first."""
    known = [event for event in events if event.on <= day]
    bars = [bar for event in known for bar in _bars_of(event, asked, rules, growth, history)]
    if asked in HEAVY and (full := _cycle_full(known, asked, rules, growth, day)):
        bars.append(full)
    standing = [bar for bar in bars if bar.until is None or bar.until > day]
    return tuple(sorted(standing, key=lambda bar: bar.until or FOREVER, reverse=True))


def _bars_of(
    event: Event, asked: Asked, rules: Rules, growth: GrowthDates, history: History
) -> Iterator[Bar]:
    for done in sorted(event.done):
        rule = rules.rule_for(done, asked, event.share)
        if rule is not None and rule.bars:
            until = _until(event.on, rule, growth, history)
            yield Bar(
                *(rule.name, event.job, event.on, until, rule.growth),
                good_seasons=rule.good_seasons,
                school=rule.school,
            )


def _until(work: dt.date, rule: Rule, growth: GrowthDates, history: History) -> dt.date | None:
    """The later of the time and the sign of growth."""
    time = after_time(work, rule)
    if rule.growth is not None:
        sign = growth.sign_after(work, rule.growth)
        return None if sign is None else max(time, sign)
    if rule.good_seasons and bad_seasons_since(history, work):
        return None
    return time


def bad_seasons_since(history: History, work: dt.date) -> bool:
    """Whether the last word on how the tree's years went, since some work, is that one went badly."""
    since = [good for on, good in history.seasons if on > work]
    return bool(since) and not since[-1]


def after_time(work: dt.date, rule: Rule) -> dt.date:
    """The day on which the time of a rule is over, whatever sign it waits for beside that."""
    if rule.months:
        return months_on(work, rule.months)
    return work + dt.timedelta(weeks=rule.weeks, days=rule.days)


def months_on(date: dt.date, months: int) -> dt.date:
    """The same day so many months on, or the last of that month."""
    years, month = divmod(date.year * 12 + date.month - 1 + months, 12)
    last = calendar.monthrange(years, month + 1)[1]
    return dt.date(years, month + 1, min(date.day, last))


def _cycle_full(
    known: Sequence[Event], asked: Asked, rules: Rules, growth: GrowthDates, day: dt.date
) -> Bar | None:
    """Whether the growth cycle of the day has had all the heavy work it bears; until it ends."""
    most = rules.heavy_a_cycle
    if asked in most.uncounted:
        return None
    start, end = growth.site.season_on(day).start, growth.site.next_season(day)
    had = [event for event in known if start <= event.on < end and _counts(event, most)]
    jobs = [kind for event in had for kind in event.done if kind in HEAVY or kind == "collecting"]
    pairs = min(((*jobs, asked)).count(kind) for kind in most.together) if most.together else 0
    if not had or len(had) + 1 - pairs <= most.jobs:
        return None
    return Bar("heavy-work-a-cycle", had[-1].job, had[-1].on, end)


def _counts(event: Event, most: Most) -> bool:
    heavy = event.done & (HEAVY | {"collecting"})
    return bool(heavy) and not heavy <= set(most.uncounted)
