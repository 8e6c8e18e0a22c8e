"""Windows judged for many trees: what is alike is worked out once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Protocol

from season_engine.note import Note
from season_engine.pot import Pot
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size, Tree
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.due import with_due
from season_engine.windows.lighter import with_lighter_work
from season_engine.windows.today import TreeState

LONGEST_REST_DAYS = max(job.after_roots_days for job in JOBS.values())


class Prospects(Protocol):
    """Gives the prospect of a species, a size and a pot; without a pot that of the size."""

    def __call__(self, kind: Species, size: Size, pot: Pot | None = None, /) -> Prospect:
        """The same one each time."""
        ...


def prospects_of(view: SeasonView, notes: Sequence[Note], *, any_size: bool = False) -> Prospects:
    """Each species, size and pot looked at once."""
    seen: dict[tuple[str, Size, Pot | None], Prospect] = {}

    def prospect(kind: Species, size: Size, pot: Pot | None = None, /) -> Prospect:
        key = kind.name, size, pot
        if key not in seen:
            seen[key] = Prospect(view, kind, size, notes, pot=pot, any_size=any_size)
        return seen[key]

    return prospect


class Judge:
    """Judges windows of one site on one day; trees in the same state share one judgement."""

    def __init__(self, prospect: Prospects) -> None:
        self._prospect = prospect
        self._known: dict[tuple[object, ...], Assessment] = {}

    def __call__(
        self, kind: Species, size: Size, window: Window, state: TreeState | None = None
    ) -> Assessment:
        """One window, for one tree where `state` is given, with what lighter work may still be done."""
        key = (kind.name, size, window.job, window.name, state and _alike(state))
        if key not in self._known:
            seen = self._prospect(kind, size, state.tree.pot if state else None)
            self._known[key] = with_lighter_work(seen, assess(seen, window, state), state)
        found = self._known[key]
        return found if state is None else with_due(replace(found, tree=state.tree.id), kind, state)


def _alike(state: TreeState) -> TreeState:
    """The state without what only tells one tree from another."""
    tree: Tree = replace(state.tree, id="", name="", notes="", line=0, last_repotted=None)
    if state.rooted_days is not None and state.rooted_days < LONGEST_REST_DAYS:
        return replace(state, tree=tree)
    return replace(state, tree=tree, roots_on=None, rooted_days=None)
