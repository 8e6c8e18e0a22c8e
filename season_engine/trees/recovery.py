"""Years of recovery: what a tree had lately that keeps heavy work from it, and until when each job is off."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.species.schema import Window
from season_engine.species.spacing import HEAVY
from season_engine.trees.need import TreeCase, asked_by


@dataclass(frozen=True, slots=True)
class Off:
    """A job that a tree is left without, and from when on it may have it again."""

    job: str
    until: dt.date | None  # None: a sign of growth is still missing


@dataclass(frozen=True, slots=True)
class Recovery:
    """What a tree gets over, and the heavy jobs that are off for it."""

    job: str  # that it had; or "arrival", "illness"
    since: dt.date
    off: tuple[Off, ...]  # the one that it may have first comes first


def recovery_of(case: TreeCase, windows: Iterable[Window], on: dt.date) -> Recovery | None:
    """What the tree recovers from on a day; None where no heavy job of these windows is off."""
    found: dict[str, Off] = {}
    cause: tuple[dt.date, str] | None = None
    for window in windows:
        asked = asked_by(window)
        if asked not in HEAVY or window.job in found:
            continue
        if bars := case.bars(asked, on):
            found[window.job] = Off(window.job, case.allowed_from(asked, on))
            last = max(bars, key=lambda bar: bar.since)
            cause = max(filter(None, (cause, (last.since, last.job))))
    if cause is None:
        return None
    return Recovery(
        cause[1], cause[0], tuple(sorted(found.values(), key=lambda off: off.until or dt.date.max))
    )
