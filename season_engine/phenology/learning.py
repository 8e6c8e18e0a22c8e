"""What a grower's own notes say about a species in this yard: how far its dates run from the catalogue's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]

YEAR_NOISE_DAYS = 6.0  # what one year's date strays from a perfect rule; best agency records: 2 to 7
WILD = 0.05  # chance that a note is a slip: another tree, another month
WILD_SPAN_DAYS = 120.0
DECAY = 0.15  # a year; trees and observers change
BUD_STAGES = 10  # buds pass through the codes below this by the week, flowers and leaves through two in days
GRID_DAYS = np.linspace(-60.0, 60.0, 481)


@dataclass(frozen=True, slots=True)
class StageNote:
    """A stage seen, or looked for and not seen yet, in one season."""

    season: int  # its first year
    column: int  # day in the trace
    bbch: int
    seen: bool = True
    earlier: bool = False  # seen, but it had come at some day before


Use = Literal["moves", "this season", "no such stage", "weather alone", "no date", "no weather"]


@dataclass(frozen=True, slots=True)
class Lesson:
    """What became of one note; `difference_days` and what follows only where it moves the dates."""

    use: Use
    marker: str = ""  # the one that stands for its stage
    rule: float = np.inf  # column the catalogue's rule gave in that season's weather
    difference_days: float = 0.0  # noted later than that
    weight: float = 0.0  # by its age, 1 for a note of this very season
    right: float = 1.0  # chance that it is no slip, judged by all notes together


@dataclass(frozen=True)
class LearntArrays:
    """What notes change for one species: its dates in general, and this season's in particular.

    A number for one case, or an array of one a case; a column that isn't known there is NaN.
    """

    shift_days: ArrayLike = 0.0  # later than the catalogue
    spread: ArrayLike = 1.0  # factor on the error of the rules
    seen: Mapping[str, ArrayLike] = field(default_factory=dict)  # marker -> column, this season
    not_yet: Mapping[str, ArrayLike] = field(default_factory=dict)
    already: Mapping[str, ArrayLike] = field(default_factory=dict)  # marker -> column by which it had come


@dataclass(frozen=True)
class Learnt(LearntArrays):
    """The same of one case, and what it rests on."""

    shift_days: float = 0.0
    spread: float = 1.0
    seen: Mapping[str, int] = field(default_factory=dict)
    not_yet: Mapping[str, int] = field(default_factory=dict)
    already: Mapping[str, int] = field(default_factory=dict)
    notes: int = 0  # of past seasons
    lessons: tuple[Lesson, ...] = ()  # one a note, in their order

    def in_general(self) -> Learnt:
        """Without what is known of this season in particular."""
        return replace(self, seen={}, not_yet={}, already={}, lessons=())


NOTHING = Learnt()


def stage_marker(species: Species, bbch: int) -> str | None:
    """The marker that stands for a growth stage, or the nearest to it; None where none is near."""
    staged = {name: marker.bbch for name, marker in species.markers.items() if marker.bbch is not None}
    near = sorted((abs(stage - bbch), name) for name, stage in staged.items())
    if not near:
        return None
    apart, name = near[0]
    return name if apart <= (1 if min(bbch, staged[name]) < BUD_STAGES else 2) else None


def learn(
    species: Species,
    notes: Iterable[StageNote],
    dated: Mapping[str, Mapping[int, float]],
    season: int,
) -> Learnt:
    """Read the notes of past seasons as a shift, and those of `season` as what is known of it.

    Parameters
    ----------
    dated : each marker's column in each past season's own weather, by the season's first year.
    season : first year of the season that is looked ahead into.
    """
    notes = tuple(notes)
    lessons = [_lesson(species, note, dated, season) for note in notes]
    moving = [lesson for lesson in lessons if lesson.use == "moves"]
    this_season = _this_season(notes, lessons)
    if not moving:
        return replace(this_season, lessons=tuple(lessons))
    whole = float(np.mean([species.markers[lesson.marker].sd_days for lesson in moving]))
    shift, left, right = _posterior(moving, whole)
    spread = min(1.0, float(np.hypot(left, min(YEAR_NOISE_DAYS, whole))) / whole)
    judged = iter(right)
    told = tuple(replace(one, right=float(next(judged))) if one.use == "moves" else one for one in lessons)
    return replace(this_season, shift_days=shift, spread=spread, notes=len(moving), lessons=told)


def _lesson(
    species: Species, note: StageNote, dated: Mapping[str, Mapping[int, float]], season: int
) -> Lesson:
    marker = stage_marker(species, note.bbch)
    if marker is None:
        return Lesson("no such stage")
    if note.season == season:
        return Lesson("this season", marker)
    if not note.seen or note.earlier:
        return Lesson("no date", marker)
    if not species.markers[marker].sd_days:
        return Lesson("weather alone", marker)
    rule = dated[marker].get(note.season, np.inf)
    if not np.isfinite(rule):
        return Lesson("no weather", marker)
    weight = float(np.exp(-DECAY * (season - note.season)))
    return Lesson("moves", marker, rule, note.column - rule, weight)


def _this_season(notes: Iterable[StageNote], lessons: Iterable[Lesson]) -> Learnt:
    """The first day a stage was seen or had come; the last on which it was looked for in vain."""
    seen: dict[str, int] = {}
    not_yet: dict[str, int] = {}
    already: dict[str, int] = {}
    for note, lesson in zip(notes, lessons, strict=True):
        if lesson.use == "this season":
            about = not_yet if not note.seen else already if note.earlier else seen
            before = about.get(lesson.marker, note.column)
            about[lesson.marker] = (min if note.seen else max)(before, note.column)
    return Learnt(seen=seen, not_yet=not_yet, already=already)


def _posterior(lessons: Sequence[Lesson], sd_days: float) -> tuple[float, float, FloatArray]:
    """Mean and spread of the yard's shift, by Bayes' rule on a grid; and the chance that each note is right.

    The catalogue's error is the prior: what of it is not one year's noise is the yard's. Each note is either
    right, give or take a year's noise, or a slip that tells nothing; old notes count for less.
    """
    yard = np.sqrt(max(sd_days**2 - YEAR_NOISE_DAYS**2, 4.0))
    differences = np.array([lesson.difference_days for lesson in lessons])
    weights = np.array([lesson.weight for lesson in lessons])
    right = np.exp(-0.5 * ((differences[:, None] - GRID_DAYS) / YEAR_NOISE_DAYS) ** 2)
    right *= (1 - WILD) / (YEAR_NOISE_DAYS * np.sqrt(2 * np.pi))
    either = right + WILD / WILD_SPAN_DAYS
    log_odds = weights @ np.log(either) - 0.5 * (GRID_DAYS / yard) ** 2
    odds = np.exp(log_odds - log_odds.max())
    odds /= odds.sum()
    mean = float(odds @ GRID_DAYS)
    return mean, float(np.sqrt(odds @ (GRID_DAYS - mean) ** 2)), (right / either) @ odds
