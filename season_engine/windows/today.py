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
    HeavilyBefore,
    HeavyBefore,
    NeedsCover,
    NeedsShade,
    NotOpen,
    OpenNow,
    Refusal,
    Risky,
    RootsBefore,
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
    heavily: frozenset[tuple[dt.date, str]] = frozenset()  # those of them that were noted as heavy
    roots_on: dt.date | None = None  # the last work on its roots, in this season or before
    rooted_days: int | None = None  # how long ago that is

    @property
    def sheltered(self) -> bool:
        """Whether it can go under cover for some weeks."""
        return self.tree.shelter


def tree_state(tree: Tree, notes: Iterable[Note], season: Season, on: dt.date) -> TreeState:
    """A tree with the jobs that were done on it since the season began; `notes` end with today."""
    own = [note for note in notes if note.tree == tree.id and note.job]
    done = {(note.date, note.job) for note in own if note.job}
    if tree.last_repotted is not None:
        done.add((tree.last_repotted, "repotting"))
    roots_on = max((date for date, job in done if JOBS[job].roots), default=None)
    return TreeState(
        tree,
        worked=tuple(sorted((date, job) for date, job in done if date >= season.start)),
        heavily=frozenset((note.date, note.job) for note in own if note.job and note.details.amount == "heavy"),
        roots_on=roots_on,
        rooted_days=(on - roots_on).days if roots_on else None,
    )


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


def may_follow(job: str, done: str, *, strong: bool) -> bool:
    """Whether a tree may have this job in a season in which it had that one, done lightly."""
    both_heavy = JOBS[job].heavy and done in JOBS and JOBS[done].heavy
    return not both_heavy or strong


def _likeliest(hazards: Sequence[Hazard]) -> Hazard:
    return max(hazards, key=lambda hazard: hazard.chance)


def refusal_of(key: str, state: TreeState) -> Refusal | None:
    """Why this tree must not have a job this season; None where it may."""
    job = JOBS[key]
    for on, done in state.worked:
        if done == key and job.rank == "bench":
            return DoneBefore(on)
        if not may_follow(key, done, strong=state.tree.vigour == "strong"):
            return HeavyBefore(done, on)
        if job.heavy and (on, done) in state.heavily and JOBS[done].heavy:
            return HeavilyBefore(done, on)
    if state.roots_on and state.rooted_days is not None and state.rooted_days < job.after_roots_days:
        return RootsBefore(state.roots_on, job.after_roots_days)
    return Weak() if job.weakens and state.tree.vigour == "weak" else None
