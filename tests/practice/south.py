"""Winter work on pines by a mild southern sea, year by year in whole past seasons' own weather."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from season_engine.phenology.dating import DRAWS
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.windows.assess import Prospect
from season_engine.windows.opening import ends_of
from tests.practice.climates import view

PINES = ("Pinus radiata", "Pinus thunbergii")
JULY, JULY_DAYS = (7, 1), 31
REPOTTED_BEFORE = (9, 30)
WITHOUT_ERROR = DRAWS.size // 2  # the middle draw of a rule's error, which is none


@dataclass(frozen=True)
class Winter:
    """One winter of one pine: is it pruned all July, and repotted after that began?"""

    species: str
    year: int
    july_days_open: int  # on which a window of structural pruning is open
    pruning_opens: dt.date | None  # dates are laid on the calendar of the view's season
    repotting_opens: dt.date | None  # after pruning began and before 30 September

    @property
    def as_practised(self) -> bool:
        """Pruned on every day of July, and repotted in the same winter."""
        return self.july_days_open == JULY_DAYS and self.repotting_opens is not None


def southern_winters(catalogue: Catalogue | None = None) -> list[Winter]:
    """Every whole past season of each pine, large, at the mild southern yard."""
    known = catalogue or load_catalogue()
    return [
        winter for name in PINES for winter in _of_pine(Prospect(view("SOUTH"), known.find(name), "large"))
    ]


def _of_pine(prospect: Prospect) -> list[Winter]:
    traces = prospect.past.traces
    year = traces.season.year
    july = traces.column(dt.date(year, *JULY)) + np.arange(JULY_DAYS)
    last = traces.column(dt.date(year, *REPOTTED_BEFORE))
    pruning, repotting = (_windows(prospect, job) for job in ("structural-pruning", "repotting"))
    winters = []
    for place, label in enumerate(traces.labels.tolist()):
        pruned, repotted = pruning[:, :, place], repotting[:, :, place]
        is_open = ((pruned[:, :1] <= july) & (july < pruned[:, 1:])).any(axis=0)
        began = pruned[:, 0].min()
        opens = repotted[:, 0]
        after = opens[(opens > began) & (opens < last)].min(initial=np.inf)
        dates = (traces.date_of(float(column)) for column in (began, after))
        winters.append(Winter(prospect.species.name, label, int(is_open.sum()), *dates))
    return winters


def _windows(prospect: Prospect, job: str) -> np.ndarray:
    """Columns at which each full window of a job opens and closes, shape (windows, 2, seasons)."""
    found = []
    for window in (one for one in prospect.species.full_windows if one.job == job):
        ends = ends_of(prospect.past, window.opens, window.closes)
        found.append((ends.opens[:, WITHOUT_ERROR], ends.closes[:, WITHOUT_ERROR]))
    return np.array(found)
