"""Windows judged for many trees: what is alike is worked out once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Protocol

from season_engine.note import Note
from season_engine.phenology.pooling import KindTaught
from season_engine.pot import Pot
from season_engine.species.catalogue import Species
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import DEFAULT_SIZE
from season_engine.windows.lighter import light_trim, with_light_trim
from season_engine.windows.of_roots import of_roots
from season_engine.windows.tree_need import with_need
from season_engine.windows.why_today import LightTrimOnly

KindOf = Callable[[str], Species | None]


class Prospects(Protocol):
    """Gives the prospect of a species, a size and a pot; without a pot that of the size.

    Of a tree, by its id, where it has notes of its own; else of its kind.
    """

    def __call__(self, kind: Species, size: Size, pot: Pot | None = None, tree: str = "", /) -> Prospect:
        """The same one each time."""
        ...


def prospects_of(
    view: SeasonView, notes: Sequence[Note], kinds: KindOf, *, any_size: bool = False
) -> Prospects:
    """Each species, size and pot looked at once; `kinds` gives a noted kind by its name, or None."""
    seen: dict[tuple[str, Size, Pot | None, str], Prospect] = {}
    staged = [note for note in notes if note.bbch is not None and note.site == view.site.name]
    own = frozenset(note.tree for note in staged)
    noted = {kind.name: kind for note in staged if (kind := kinds(note.species or ""))}

    def taught_beside(kind: Species) -> Sequence[KindTaught]:
        others = [one for name, one in noted.items() if name != kind.name]
        return [taught for one in others if (taught := prospect(one, DEFAULT_SIZE).taught) is not None]

    def prospect(kind: Species, size: Size, pot: Pot | None = None, tree: str = "", /) -> Prospect:
        tree = tree if tree in own else ""
        key = kind.name, size, pot, tree
        if key not in seen:
            beside = partial(taught_beside, kind)
            seen[key] = Prospect(
                view, kind, size, notes, pot=pot, any_size=any_size, tree=tree, others=beside
            )
        return seen[key]

    return prospect


class Judge:
    """Judges windows of one site on one day; trees that stand alike share one judgement of a window."""

    def __init__(self, prospect: Prospects) -> None:
        self._prospect = prospect
        self._of_roots: dict[tuple[str, str, str], bool] = {}
        self._known: dict[tuple[object, ...], tuple[Assessment, LightTrimOnly | None]] = {}

    def __call__(
        self, kind: Species, size: Size, window: Window, history: History | None = None
    ) -> Assessment:
        """One window, for one tree where its `history` is given, with what lighter work may still be done.

        Where it doesn't look into the pot, all sizes and pots of a kind share all but the cautions.
        """
        tree = history.tree if history else None
        pot, shelter = (tree.pot, tree.shelter) if tree else (None, None)
        noted = tree.id if tree else ""
        seen = alike = self._prospect(kind, size, pot, noted)
        if not self._looks_into_pot(kind, window):
            alike = self._prospect(kind, DEFAULT_SIZE, None, noted)
        key = (alike, shelter, window.job, window.name)
        if key not in self._known:
            found = assess(alike, window, shelter)
            self._known[key] = found, light_trim(alike, found, shelter)
        found, lighter = self._known[key]
        if alike is not seen:
            found = replace(found, cautions=seen.cautions(window.job))
        return with_light_trim(with_need(found, seen, window, history), lighter)

    def _looks_into_pot(self, kind: Species, window: Window) -> bool:
        key = kind.name, window.job, window.name
        if key not in self._of_roots:
            self._of_roots[key] = of_roots(kind, window)
        return self._of_roots[key]
