"""What to do today: a second question, after where the window stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.note import Note
from season_engine.site import Season
from season_engine.species.jobs import JOBS
from season_engine.species.schema import HazardRule, Window
from season_engine.tree import Tree
from season_engine.windows.assessment import Today, Verdict
from season_engine.windows.hazard import Hazard, HotRoots
from season_engine.windows.why_today import (
    ClosingNow,
    DoneBefore,
    HardlyEverWell,
    HeavyBefore,
    NeedsCover,
    NeedsShade,
    NotOpen,
    OpenNow,
    Refusal,
    Risky,
    Stale,
    Unsure,
    Weak,
    WhyToday,
)


@dataclass(frozen=True, slots=True)
class TreeState:
    """A tree as it is on the day asked about."""

    tree: Tree
    worked: tuple[tuple[dt.date, str], ...]  # jobs done this season, as the journal and trees.csv have them

    @property
    def sheltered(self) -> bool:
        """Whether it can go under cover for some weeks."""
        return self.tree.shelter


def tree_state(tree: Tree, notes: Iterable[Note], season: Season) -> TreeState:
    """A tree with the jobs that were done on it since the season began; `notes` end with today."""
    done = [(note.date, note.job) for note in notes if note.tree == tree.id and note.job]
    if tree.last_repotted is not None:
        done.append((tree.last_repotted, "repotting"))
    return TreeState(tree, tuple(sorted({(on, job) for on, job in done if on >= season.start})))


def is_for(window: Window, tree: Tree) -> bool:
    """Whether a window is for a tree of this size that came so."""
    origins = JOBS[window.job].origins
    return window.size in (None, tree.size) and (not origins or tree.origin in origins)


def advise(
    job: str,
    verdict: Verdict,
    *,
    unsure: bool,
    stale: Stale | None,
    hazards: Sequence[tuple[HazardRule, Hazard]],
    state: TreeState | None,
    seldom_well: float | None = None,
) -> tuple[Today, WhyToday]:
    """Today's advice and why; the first criterion that applies decides.

    `stale`: where the readings are too old to work by. `seldom_well`: the chance that it goes well, where
    that is too small to invite to it.
    """
    if seldom_well is not None and verdict not in ("closed", "not-here"):
        return "no", HardlyEverWell(seldom_well)
    if verdict != "open" and verdict != "last-call":
        return "no", NotOpen(verdict)
    if state is not None and (refusal := refusal_of(job, state)):
        return "no", refusal
    if unsure:
        return "hold", Unsure()
    if stale:
        return "hold", stale
    risky = [hazard for rule, hazard in hazards if hazard.chance > rule.limit]
    shaded = [hazard for hazard in risky if isinstance(hazard.event, HotRoots)]
    covered = [hazard for hazard in risky if hazard.cold]
    exposed = state is not None and not state.sheltered
    held = [hazard for hazard in risky if hazard not in shaded and (exposed or not hazard.cold)]
    if held:
        return "hold", Risky(_likeliest(held))
    if covered:
        return "only-with-shelter", NeedsCover(_likeliest(covered))
    if shaded:
        return "only-with-shelter", NeedsShade(_likeliest(shaded))
    return "do", ClosingNow() if verdict == "last-call" else OpenNow()


def _may_follow(job: str, done: str, tree: Tree) -> bool:
    """Whether a tree may have this heavy job in a season in which it had that one."""
    return tree.vigour == "strong" and job in JOBS[done].followed_by


def _likeliest(hazards: Sequence[Hazard]) -> Hazard:
    return max(hazards, key=lambda hazard: hazard.chance)


def refusal_of(key: str, state: TreeState) -> Refusal | None:
    """Why this tree must not have a job this season; None where it may."""
    job = JOBS[key]
    for on, done in state.worked:
        if done == key and job.rank == "bench":
            return DoneBefore(on)
        if job.heavy and done in JOBS and JOBS[done].heavy and not _may_follow(key, done, state.tree):
            return HeavyBefore(done, on)
    return Weak() if job.heavy and state.tree.vigour == "weak" else None
