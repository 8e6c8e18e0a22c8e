"""The round of small care: where a window stands, without all that a day's heavy work has to weigh."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.markers.base import By
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.tree import Tree
from season_engine.windows.assess import Prospect, judged
from season_engine.windows.assessment import Verdict
from season_engine.windows.cautions import Caution
from season_engine.windows.verdict import verdict_on


@dataclass(frozen=True, slots=True)
class Care:
    """One window of one species, as it stands on a day."""

    species: str  # botanical name
    common_name: str
    job: str
    window: str
    verdict: Verdict
    opens: dt.date | None  # with the odds the job wants
    closes: dt.date | None
    cautions: tuple[Caution, ...] = ()
    opens_by: By = "weather"
    closes_by: By = "weather"

    @property
    def by(self) -> By:
        """What sets its dates: the calendar where it sets both ends."""
        return self.opens_by if self.opens_by == self.closes_by else "weather"


def care_of(prospect: Prospect, window: Window, tree: Tree | None = None) -> Care:
    """Where one window stands on the view's day, and what to mind with that tree."""
    shift, now = judged(prospect, window, JOBS[window.job].floor)
    kind = prospect.species
    verdict = verdict_on(prospect.view.on, now)
    # A tree that is still to come, such as one to dig, may be of any size.
    if JOBS[window.job].new_tree:
        cautions = prospect.cautions(window.job, "large")
    else:
        size, pot = (tree.size, tree.stands_in) if tree else (None, None)
        cautions = prospect.cautions(window.job, size, pot)
    opening = prospect.told(window, shift)
    return Care(
        *(kind.name, kind.common[0], window.job, window.name, verdict),
        *(now.opens, now.closes, cautions, opening.set_by("opens"), opening.set_by("closes")),
    )


def small_care(prospect: Prospect, tree: Tree | None = None) -> list[Care]:
    """All of a species' windows that are not told in full; `tree`: the heaviest they are for."""
    windows = prospect.species.full_windows
    return [care_of(prospect, window, tree) for window in windows if not JOBS[window.job].told_in_full]
