"""Windows judged for many trees: what is alike is worked out once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from season_engine.note import Note
from season_engine.pot import Pot
from season_engine.species.catalogue import Species
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.lighter import light_trim, with_light_trim
from season_engine.windows.tree_need import with_need
from season_engine.windows.why_today import LightTrimOnly


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
    """Judges windows of one site on one day; trees that stand alike share one judgement of a window."""

    def __init__(self, prospect: Prospects) -> None:
        self._prospect = prospect
        self._known: dict[tuple[object, ...], tuple[Assessment, LightTrimOnly | None]] = {}

    def __call__(
        self, kind: Species, size: Size, window: Window, history: History | None = None
    ) -> Assessment:
        """One window, for one tree where its `history` is given, with what lighter work may still be done."""
        pot, shelter = (history.tree.pot, history.tree.shelter) if history else (None, None)
        seen = self._prospect(kind, size, pot)
        key = (kind.name, size, pot, shelter, window.job, window.name)
        if key not in self._known:
            found = assess(seen, window, shelter)
            self._known[key] = found, light_trim(seen, found, shelter)
        found, lighter = self._known[key]
        return with_light_trim(with_need(found, seen, window, history), lighter)
