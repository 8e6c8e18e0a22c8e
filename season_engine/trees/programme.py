"""A root ball renewed in parts over years: which are done, which is next, and what stops it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.species.catalogue import Species
from season_engine.tree import ROOT_PARTS, Stage, Tree
from season_engine.trees.growth import GrowthDates
from season_engine.trees.history import History, Work
from season_engine.trees.spacing import Bar, Event, Rules, after_time, bars_on

SECTION = "sectional-repotting"


@dataclass(frozen=True, slots=True)
class PartYear:
    """One part of the ball: when it was renewed, or the earliest it will be."""

    number: int  # from 1; the last one is what lies under the trunk
    on: dt.date | None  # None: no day is known yet
    done: bool
    side: str = ""  # in the grower's words
    core: bool = False


@dataclass(frozen=True, slots=True)
class Programme:
    """The parts of one tree's root ball, what lies under the trunk last and by itself."""

    parts: int  # beside the core
    done: tuple[PartYear, ...]
    ahead: tuple[PartYear, ...]
    stopped: dt.date | None = None  # the last part went badly, as noted on that day
    asks_good_season: bool = False  # the next part wants good years of the tree, and nobody noted one
    parts_said: bool = True  # how many was said, and not taken from what was done or from its kind

    @property
    def left(self) -> int:
        """How many parts are still to come, the core one of them."""
        return len(self.ahead)

    @property
    def next(self) -> PartYear | None:
        """The part that comes next."""
        return self.ahead[0] if self.ahead else None


def renewed_in_parts(tree: Tree, species: Species) -> bool:
    """Whether a tree's root ball is renewed in parts: as said, or if dug from the wild and of such a kind."""
    has_sections = any(window.job == SECTION for window in species.windows)
    return has_sections and (tree.root_parts is not None or tree.origin == "collected")


def programme_of(
    history: History, events: Sequence[Event], rules: Rules, growth: GrowthDates, day: dt.date
) -> Programme | None:
    """The programme of a tree whose root ball is renewed in parts; None of any other."""
    tree = history.tree
    if not renewed_in_parts(tree, rules.species):
        return None
    since = history.last("collecting", "repotting") or dt.date.min
    sections = [work for work in history.works if work.job == SECTION and work.on > since]
    parts = tree.root_parts or _parts_by_share(sections) or usual_parts(rules.stage, tree)
    done = tuple(
        PartYear(at, work.on, True, work.side, core=at > parts) for at, work in enumerate(sections, start=1)
    )
    bars = bars_on("section", events, rules, growth, history, day)
    return Programme(
        parts,
        done,
        _ahead(len(sections), parts, rules, bars, day),
        stopped=_stopped(history) if sections else None,
        asks_good_season=_asks(history, sections, rules),
        parts_said=tree.root_parts is not None,
    )


def usual_parts(stage: Stage, tree: Tree) -> int:
    """In how many parts, of a tree of which nobody said: from memory."""
    if stage == "old" or tree.vigour == "weak":
        return max(ROOT_PARTS)
    return min(ROOT_PARTS) if tree.vigour == "strong" else ROOT_PARTS[1]


def _stopped(history: History) -> dt.date | None:
    """When the last part was noted to have gone badly; None once a good season was noted after."""
    bad = history.went_badly
    return None if bad is None or any(good and on > bad for on, good in history.seasons) else bad


def _parts_by_share(sections: Sequence[Work]) -> int | None:
    shares = [work.share for work in sections if work.share]
    parts = round(1 / shares[-1]) if shares else None
    return parts if parts in ROOT_PARTS else None


def _ahead(done: int, parts: int, rules: Rules, bars: Sequence[Bar], day: dt.date) -> tuple[PartYear, ...]:
    """The parts to come, each as early as the rules let it."""
    found: list[PartYear] = []
    at: dt.date | None = bars[0].until if bars else day
    wait = rules.rule_for("section", "section", 1 / parts)
    for number in range(done + 1, parts + 2):
        found.append(PartYear(number, at, False, core=number > parts))
        at = None if at is None or wait is None else after_time(at, wait)
    return tuple(found)


def _asks(history: History, sections: Sequence[Work], rules: Rules) -> bool:
    if not sections:
        return False
    rule = rules.rule_for("section", "section", sections[-1].share)
    noted = any(on > sections[-1].on for on, _ in history.seasons)
    return rule is not None and rule.good_seasons > 0 and not noted
