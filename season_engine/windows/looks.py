"""Buds worth a look this week: those whose answer narrows a window that matters to the grower's trees."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.facts import Text
from season_engine.phenology.date_odds import DateOdds
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.trees.history import History
from season_engine.trees.need import is_for
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import End
from season_engine.windows.teaching import Lesson, Subject, choose, worth_a_walk
from season_engine.windows.tree_need import left_without

FloatArray = NDArray[np.float64]

BUDS_TO_LOOK_AT = 3
NEAR_DAYS = 42  # a window that opens or closes later than this can wait
FARTHEST_DAYS = 84  # all that is farther off than this is alike


@dataclass(frozen=True)
class Kept:
    """One window of one species, and the grower's trees of it; None where no trees are kept at all."""

    prospect: Prospect
    window: Window
    trees: tuple[History, ...] | None = None

    @property
    def matters(self) -> float:
        """How much a day's error costs: for each tree that may have the job, the odds it wants, as 4 to 1."""
        job = JOBS[self.window.job]
        floors = [job.floor]
        if self.trees is not None:
            meant = (one for one in self.trees if is_for(self.window, one.tree))
            may = (one for one in meant if not left_without(self.prospect, self.window, one))
            floors = [job.floor_for(sheltered=one.tree.shelter is True) for one in may]
        return sum(floor / (1 - floor) for floor in floors)


@dataclass(frozen=True, slots=True)
class Narrowed:
    """One end of a window, and by how much its middle date is likely to be out: the mean distance."""

    job: str
    window: str
    end: End
    before_days: float
    after_days: float  # as is to be expected once the answer is known


@dataclass(frozen=True, slots=True)
class Look:
    """One bud to look at."""

    species: str  # botanical name
    common_name: str
    trees: tuple[str, ...]  # ids of the grower's own
    marker: str
    label: Text
    look_for: Text  # words that follow "whether"
    bbch: int
    chance: float  # that it has come
    narrows: tuple[Narrowed, ...]  # what gains most first


@dataclass(frozen=True)
class NearDate:
    """One end of a window that may come in the next weeks."""

    kept: Kept
    end: End
    days: FloatArray  # from today, by chance


def buds_to_look_at(windows: Iterable[Kept], most: int = BUDS_TO_LOOK_AT) -> tuple[Look, ...]:
    """At most so many buds, the one that teaches most first; windows of one site."""
    of_species: dict[str, list[Kept]] = {}
    for kept in windows:
        of_species.setdefault(kept.prospect.species.name, []).append(kept)
    dates = {name: near_dates(kept) for name, kept in of_species.items()}
    subjects = {name: subject(near) for name, near in dates.items() if near}
    return tuple(_look(lesson, of_species[name], dates[name]) for name, lesson in choose(subjects, most))


def near_dates(windows: Sequence[Kept]) -> list[NearDate]:
    """The ends of one species' windows that may come in the next weeks, by 8 chances in 10."""
    near = []
    for kept in (one for one in windows if one.matters > 0):
        opening = kept.prospect.opening(kept.window, 0)
        today = opening.traces.column(kept.prospect.view.on)
        ends: tuple[tuple[End, DateOdds], ...] = (
            ("opens", opening.opens_odds),
            ("closes", opening.closes_odds),
        )
        for end, odds in ends:
            first, last = odds.by((0.1, 0.9))
            if first <= today + NEAR_DAYS and last >= today:
                near.append(NearDate(kept, end, from_today(odds.days, today)))
    return near


def from_today(columns: FloatArray, today: int) -> FloatArray:
    """Days from today, shape (chances,); what is farther off than matters, or never comes, at the edge."""
    return np.clip(columns.ravel() - today, -FARTHEST_DAYS, FARTHEST_DAYS)


def subject(near: Sequence[NearDate]) -> Subject:
    """One species as what its near dates depend on, asked whether each of its stages has come."""
    prospect = near[0].kept.prospect
    dating = prospect.dating(0)
    today = dating.traces.column(prospect.view.on)
    staged = [name for name, marker in prospect.species.markers.items() if marker.bbch is not None]
    return Subject(
        weights=dating.weights.ravel(),
        dates=np.array([date.days for date in near]),
        matters=np.array([date.kept.matters for date in near]),
        questions={name: (dating.dates[name] <= today).ravel() for name in staged},
    )


def _look(lesson: Lesson, windows: Sequence[Kept], near: Sequence[NearDate]) -> Look:
    species = windows[0].prospect.species
    marker = species.markers[lesson.question]
    errors = lesson.before_days, lesson.after_days
    narrowed = [
        (date.kept.matters * (before - after), _narrowed(date, before, after))
        for date, before, after, enough in zip(near, *errors, worth_a_walk(*errors), strict=True)
        if enough
    ]
    return Look(
        species=species.name,
        common_name=species.common[0],
        trees=tuple(dict.fromkeys(state.tree.id for kept in windows for state in kept.trees or ())),
        marker=lesson.question,
        label=marker.label,
        look_for=marker.look_for or marker.label,
        bbch=marker.bbch or 0,
        chance=lesson.chance,
        narrows=tuple(one for _, one in sorted(narrowed, key=lambda pair: -pair[0])),
    )


def _narrowed(date: NearDate, before_days: float, after_days: float) -> Narrowed:
    window = date.kept.window
    return Narrowed(window.job, window.name, date.end, float(before_days), float(after_days))
