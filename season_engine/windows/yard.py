"""A yard on a day: its trees, what was noted by then, and its windows, judged as they are asked for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from season_engine.note import Note, notes_until
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Size, Tree, Vigour
from season_engine.trees.history import History, kept
from season_engine.trees.need import is_for
from season_engine.trees.questions import Question, gathered, questions_of
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import DEFAULT_SIZE, windows_told
from season_engine.windows.judge import Judge, prospects_of
from season_engine.windows.questions import questions_before


@dataclass(frozen=True, slots=True)
class Watched:
    """A window, and how it is judged today."""

    species: Species
    window: Window
    size: Size
    now: Assessment


class Yard:
    """One site on one day; what is alike for several trees or windows is worked out once.

    `trees` and `notes` may be those of other sites too, and of later days: what isn't this yard's on this day
    is left out, and so is a tree that was given away or died. `written` are the notes that had been entered,
    those taken back and those that do so among them.
    """

    def __init__(
        self, view: SeasonView, catalogue: Catalogue, trees: Iterable[Tree] = (), notes: Iterable[Note] = ()
    ) -> None:
        on = view.on
        self.view = view
        self.catalogue = catalogue
        self.written = tuple(note for note in notes if note.known_from <= on)
        self.notes = notes_until(self.written, on)
        self.histories = kept(trees, self.notes, on, {view.site.name})
        self.trees = tuple(one.tree for one in self.histories)
        self.kinds = {tree.id: catalogue.get(tree.species) for tree in self.trees}
        self.prospect = prospects_of(view, self.notes, catalogue.get, any_size=not self.trees)
        self._judge = Judge(self.prospect)

    @cached_property
    def species(self) -> tuple[Species, ...]:
        """The species of the trees, as far as the catalogue has them; without trees, every species."""
        kept = [kind for kind in self.kinds.values() if kind]
        known = kept if self.trees else self.catalogue.species.values()
        return tuple({kind.name: kind for kind in known}.values())

    @property
    def not_covered(self) -> tuple[str, ...]:
        """The trees' species that the catalogue doesn't hold, as they were typed."""
        return tuple(dict.fromkeys(tree.species for tree in self.trees if self.kinds[tree.id] is None))

    def marked(self, vigour: Vigour) -> tuple[str, ...]:
        """Ids of the trees that are marked so."""
        return tuple(one.tree.id for one in self.histories if one.tree.vigour == vigour)

    @cached_property
    def own(self) -> tuple[tuple[History, Prospect], ...]:
        """The trees whose species the catalogue has, each with how its species looks."""
        known = ((one, self.kinds[one.tree.id]) for one in self.histories)
        return tuple(
            (one, self.prospect(kind, one.tree.size, one.tree.pot, one.tree.id))
            for one, kind in known
            if kind
        )

    @cached_property
    def watched(self) -> tuple[Watched, ...]:
        """Each species' windows of jobs that are told in full, judged for no tree in particular."""
        return tuple(
            Watched(kind, window, size := window.size or DEFAULT_SIZE, self._judge(kind, size, window))
            for kind in self.species
            for window in windows_told(kind, self.trees, self.catalogue)
        )

    @cached_property
    def judged(self) -> tuple[Assessment, ...]:
        """Each tree's windows of jobs that are told in full."""
        return tuple(
            self._judge(prospect.species, one.tree.size, window, one)
            for one, prospect in self.own
            for window in prospect.species.full_windows
            if is_for(window, one.tree) and JOBS[window.job].told_in_full
        )

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What is asked about the trees today."""
        of_trees = (one for history in self.histories for one in questions_of(history, self.view.on))
        return gathered((*of_trees, *questions_before(self.judged)))

    def trees_of(self, kind: Species) -> tuple[History, ...] | None:
        """The grower's trees of a species; None where no trees are kept at all."""
        return tuple(one for one in self.histories if self.kinds[one.tree.id] is kind) if self.kinds else None
