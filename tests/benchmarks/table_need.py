"""Ten years of a made yard of 200 trees: what of it is due for repotting each August, may be, or is left.

    python -m tests.benchmarks.table_need

The trees are medium and large: small ones are repotted in two thirds of these years. The yard is mild and
by the sea in the south, its weather invented. Its grower repots in August whatever is due, and a third of
what may be; pulls needles and thins pines on the first day of winter's window, cuts candles on the first
day of summer's, and prunes after bloom, wherever the tree is not to be left. So every year's judgement
rests on what the years before it led to.
"""

from __future__ import annotations

import datetime as dt
import random
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise, product
from typing import get_args

from season_engine.note import Note
from season_engine.species.catalogue import load_catalogue
from season_engine.species.kinds import is_kind
from season_engine.species.schema import Window
from season_engine.tree import Size, Stage, Tree, Vigour
from season_engine.trees.history import History
from season_engine.trees.need import asked_by, is_for
from season_engine.trees.need_why import Barred
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import nearest_first
from season_engine.windows.tree_need import case_of, left_without
from season_engine.windows.yard import Yard
from tests.benchmarks.markdown import markdown_table, show
from tests.yards import SOUTH, view

FIRST, LAST = 2016, 2025
TREES = 200
KINDS = (
    "Pinus thunbergii", "Pinus radiata", "Pinus parviflora", "Juniperus chinensis", "Larix decidua",
    "Acer palmatum", "Acer buergerianum", "Ulmus parvifolia", "Prunus mume", "Rhododendron indicum",
    "Olea europaea", "Leptospermum scoparium",
)  # fmt: skip
YEARLY = ("needle-work", "structural-pruning", "decandling", "candle-shortening", "after-bloom-pruning")
NEVER = dt.timedelta(days=547)  # eighteen months


def made_yard() -> list[Tree]:
    """Trees of every kind and stage, the last repotting of each at random within its years."""
    chance = random.Random(7)
    cells = list(product(KINDS, get_args(Stage)))
    found = []
    for number in range(TREES):
        species, stage = cells[number % len(cells)]
        size: Size = chance.choice(("medium", "large"))
        vigour: Vigour = chance.choices(("strong", "normal", "weak"), (5, 8, 1))[0]
        every = load_catalogue().find(species).repotted_every
        years = every.years(stage, size).most if every else 3
        last = dt.date(FIRST - chance.randint(1, max(years, 1)), 8, chance.randint(1, 28))
        found.append(
            Tree(
                f"t{number:03d}",
                SOUTH.name,
                species,
                size=size,
                stage=stage,
                vigour=vigour,
                last_repotted=last,
            )
        )
    return found


class Years:
    """What was found as the years went by."""

    def __init__(self) -> None:
        self.trees = made_yard()
        self.notes: list[Note] = []
        self.states: Counter[tuple[str, str, str]] = Counter()  # species, stage, state
        self.too_soon: list[str] = []  # conifers and old trees told to repot within eighteen months
        self.by_lesser: Counter[str] = Counter()  # trees that light or medium work kept from another job
        self.days: dict[str, list[int]] = {}  # of yearly work: how long after its window opened
        self.repotted: dict[str, list[dt.date]] = {}
        self._chance = random.Random(11)

    def play(self) -> None:
        """Ten years, each August's repotting and then the work of the year that follows."""
        for year in range(FIRST, LAST):
            self._august(dt.date(year, 8, 10))
            self._yearly(dt.date(year, 11, 1), ("decandling", "candle-shortening", "after-bloom-pruning"))
            self._yearly(dt.date(year + 1, 4, 20), ("needle-work", "structural-pruning"))

    def _august(self, on: dt.date) -> None:
        yard = Yard(view(SOUTH, on), load_catalogue(), self.trees, self.notes)
        of_tree: dict[str, list[Assessment]] = {}
        for a in yard.judged:
            if a.job == "repotting":
                of_tree.setdefault(a.tree or "", []).append(a)
            self._by_lesser(a)
        stages = {tree.id: tree.stage for tree in self.trees}
        for tree, found in of_tree.items():
            a = nearest_first(found)[0]
            assert a.need is not None
            self.states[a.species, stages[tree] or "", a.need.state] += 1
            self._too_soon(tree, a, yard)
            if a.need.state == "due" or (a.need.state == "may" and self._chance.random() < 1 / 3):
                self.notes.append(Note(on, SOUTH.name, tree, a.species, job="repotting"))
                self.repotted.setdefault(tree, []).append(on)

    def _too_soon(self, tree: str, a: Assessment, yard: Yard) -> None:
        history = next(one for one in yard.histories if one.tree.id == tree)
        kind = yard.kinds[tree]
        slow = history.tree.stage == "old" or (kind is not None and is_kind(kind, "conifer"))
        lately = history.roots_on is not None and a.as_of - history.roots_on < NEVER
        if slow and lately and a.need and a.need.state != "leave":
            self.too_soon.append(tree)

    def _by_lesser(self, a: Assessment) -> None:
        """Whether a job is kept from a tree by light or medium work other than the same job."""
        why = a.need.why if a.need else None
        lesser = (
            isinstance(why, Barred) and why.bar.job in YEARLY and why.bar.job not in ("decandling", a.job)
        )
        if lesser:
            self.by_lesser[a.job] += 1

    def _yearly(self, on: dt.date, jobs: tuple[str, ...]) -> None:
        """Each yearly job on the first day that it may be done, its windows' own and the tree's."""
        yard = Yard(view(SOUTH, on), load_catalogue(), self.trees, self.notes)
        for history, prospect in yard.own:
            for job in jobs:
                opens = [
                    (span, window)
                    for window in prospect.species.full_windows
                    if window.job == job and is_for(window, history.tree)
                    if (span := prospect.next_open(window, on)) is not None
                ]
                if not opens:
                    continue
                (day, _), window = min(opens, key=lambda one: one[0])
                done = first_allowed(prospect, window, history, day)
                if done is not None:
                    self.days.setdefault(job, []).append((done - day).days)
                    self.notes.append(Note(done, SOUTH.name, history.tree.id, prospect.species.name, job=job))


def first_allowed(prospect: Prospect, window: Window, history: History, opens: dt.date) -> dt.date | None:
    """The first day of a window on which a tree may have its job; None where it isn't within three weeks."""
    if left_without(prospect, window, history) is None:
        return opens
    allowed = case_of(prospect, history).allowed_from(asked_by(window), opens)
    return allowed if allowed and allowed <= opens + dt.timedelta(weeks=3) else None


def lines(years: Years) -> Iterator[str]:
    """The tables."""
    head = ("kind", "stage", "years", "due, in 100", "may", "leave", "years between repottings, as done")
    yield from markdown_table(head, (_row(years, *cell) for cell in product(KINDS, get_args(Stage))))
    yield ""
    yield f"Conifers and old trees told to repot within 18 months: {len(years.too_soon)}."
    yield f"Jobs kept from a tree by light or medium work other than the same job: {years.by_lesser.total()}."
    for job, days in sorted(years.days.items()):
        at_once = sum(day == 0 for day in days)
        late = max(days)
        yield f"{job}: {len(days)} times, {at_once} on its window's first day, the latest {late} days after."


def _row(years: Years, species: str, stage: Stage) -> list[str]:
    kind = load_catalogue().find(species)
    counts = [years.states[species, stage, state] for state in ("due", "may", "leave")]
    span = kind.repotted_every.years(stage, "medium") if kind.repotted_every else None
    told = f"{span.least}-{span.most}" if span else "-"
    shares = [f"{100 * count / sum(counts):.0f}" if any(counts) else "-" for count in counts]
    own = [tree.id for tree in years.trees if (tree.species, tree.stage) == (species, stage)]
    gaps = [gap for tree in own for gap in _gaps(years.repotted.get(tree, []))]
    return [kind.common[0], stage, told, *shares, f"{sum(gaps) / len(gaps):.1f}" if gaps else "-"]


def _gaps(days: list[dt.date]) -> Iterator[float]:
    for before, later in pairwise(days):
        yield (later - before).days / 365.25


if __name__ == "__main__":
    played = Years()
    played.play()
    show(*lines(played))
