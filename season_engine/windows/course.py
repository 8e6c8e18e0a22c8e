"""A winter's work on one pine, of which thinning and repotting are parts: each when it may be done.

Thinned under three tenths of its foliage, a pine that isn't weak is repotted in the same winter: common
practice, no source. A large tree takes a day for each, and its pot is prepared before it is lifted.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from season_engine.species.kinds import is_kind
from season_engine.species.schema import Window
from season_engine.trees.need import ONE_WINTER, TreeCase, is_for, need_of
from season_engine.windows.tree_notes import Course, Part

if TYPE_CHECKING:
    from season_engine.windows.assess import Prospect

THINNING = ("needle-work", "structural-pruning")
ROOTS = ("repotting", "sectional-repotting")


def winter_course(case: TreeCase, prospect: Prospect, window: Window) -> Course | None:
    """The winter's work that a window's job is part of, of a pine that is due for its roots as well."""
    if window.job not in (*THINNING, *ROOTS) or not is_kind(case.rules.species, "pine"):
        return None
    roots = _due(case, prospect, ROOTS)
    thinning = _due(case, prospect, THINNING)
    if not roots or not thinning:
        return None
    last = roots[0]
    before = tuple(
        Part(one.job, one.first, min(one.last, max(last.first, one.first)))
        for one in thinning
        if one.first <= last.last and abs(last.first - one.first) <= ONE_WINTER
    )
    return Course(before, last, large=case.history.tree.size == "large") if before else None


def _due(case: TreeCase, prospect: Prospect, jobs: tuple[str, ...]) -> list[Part]:
    """The next days of each of these jobs that the tree is due for, the first to come at the head."""
    found: dict[str, Part] = {}
    for window in prospect.species.full_windows:
        if window.job not in jobs or not is_for(window, case.history.tree):
            continue
        span = prospect.next_open(window, prospect.view.on)
        if span is None or need_of(case, window, span[0]).state != "due":
            continue
        part = Part(window.job, *span)
        if window.job not in found or part.first < found[window.job].first:
            found[window.job] = part
    return sorted(found.values(), key=lambda part: part.first)
