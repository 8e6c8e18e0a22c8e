"""What a grower's own notes say about a species in this yard: how far its dates run from the catalogue's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.markers.base import Marker
from season_engine.phenology.own_dates import LASTING_DAYS, NotedDate, rule_is_beaten, usual_column
from season_engine.phenology.pooling import KindTaught, counting_for, prior
from season_engine.phenology.rule_error import DECAY, Posterior, RuleError, posterior, with_its_draws
from season_engine.phenology.stages import (
    AUTUMN,
    StageNote,
    known_of_season,
    markers_told,
    stage_marker,
    stand_in,
)
from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

NOTHING_LEFT = 1e-9  # of the weight of notes that are slips

Use = Literal["moves", "own date", "this season", "no such stage", "weather alone", "no date", "no weather"]


@dataclass(frozen=True, slots=True)
class Lesson:
    """What became of one note; `difference_days` and what follows only where it moves the dates.

    As an own date it counts among those that a marker goes by instead of its rule.
    """

    use: Use
    marker: str = ""  # the one that stands for its stage
    rule: float = np.inf  # column its rule gave in that season's weather; usually, for an own date
    difference_days: float = 0.0  # noted later than that
    weight: float = 0.0  # by its age and how surely its stage stands for the marker's; 1: this very season
    right: float = 1.0  # chance that it is no slip, judged by all notes together
    later_days: float = 0.0  # by which the marker comes after the stage that was noted


@dataclass(frozen=True)
class LearntArrays:
    """What notes change for one species: its dates in general, and this season's in particular.

    A number for one case, or an array of one a case; a column that isn't known there is NaN.
    """

    shift_days: ArrayLike = 0.0  # later than the catalogue
    spread: ArrayLike = 1.0  # factor on the error of the rules
    own_dates: Mapping[str, NotedDate] = field(default_factory=dict)  # of markers that go by these alone
    seen: Mapping[str, ArrayLike] = field(default_factory=dict)  # marker -> column, this season
    not_yet: Mapping[str, ArrayLike] = field(default_factory=dict)
    already: Mapping[str, ArrayLike] = field(default_factory=dict)  # marker -> column by which it had come
    about: Mapping[str, NotedDate] = field(default_factory=dict)  # this season's, by stages seen near by


@dataclass(frozen=True)
class Learnt(LearntArrays):
    """The same of one case, and what it rests on."""

    shift_days: float = 0.0
    spread: float = 1.0
    seen: Mapping[str, int] = field(default_factory=dict)
    not_yet: Mapping[str, int] = field(default_factory=dict)
    already: Mapping[str, int] = field(default_factory=dict)
    notes: int = 0  # of past seasons
    other_kinds: int = 0  # whose notes of past seasons count as well
    yard_days: float = 0.0  # of the shift, what these have the yard run later for all
    tree_days: float = 0.0  # of it, by how much the tree runs later than its kind
    lessons: tuple[Lesson, ...] = ()  # one a note, in their order

    def in_general(self) -> Learnt:
        """Without what is known of this season in particular."""
        return replace(self, seen={}, not_yet={}, already={}, about={}, lessons=())


NOTHING = Learnt()


def learn(
    species: Species,
    notes: Iterable[StageNote],
    dated: Mapping[str, Mapping[int, float]],
    season: int,
    *,
    others: Sequence[KindTaught] = (),
    tree: str = "",
) -> Learnt:
    """Read the notes of past seasons as a shift, and those of `season` as what is known of it.

    Parameters
    ----------
    dated : each marker's column in each past season's own weather, by the season's first year.
    season : first year of the season that is looked ahead into.
    others : what notes of the yard's other kinds came to.
    tree : id of the tree; of this season its own notes count, and those of no tree. Empty: of the kind.
    """
    notes = tuple(notes)
    lessons = [_lesson(species, note, dated, season) for note in notes]
    this_season = Learnt(**vars(known_of_season(species, _of_season(notes, season, tree))))
    own_dates, lessons = _own_dates(species, notes, lessons, dated, tree)
    taught = _taught(species, zip(notes, lessons, strict=True))
    if taught is None and others:
        taught = _untaught(species)
    if taught is None:
        return replace(this_season, own_dates=own_dates, lessons=tuple(lessons))
    found = taught.of_tree(tree, others)
    shift = float(found.shift_days)
    return replace(
        this_season,
        own_dates=own_dates,
        shift_days=shift,
        spread=float(found.sd_days) / taught.error.whole_days,
        notes=len(taught.trees),
        other_kinds=len(others),
        yard_days=prior(others, taught.error.yard_days).mean_days,
        tree_days=shift - float(taught.of_tree("", others).shift_days) if tree else 0.0,
        lessons=tuple(_judged(lessons, found.right, (one.use == "moves" for one in lessons))),
    )


def of_autumn(species: Species, marker: str) -> bool:
    """Whether a marker is of the end of growth, which runs late or early apart from spring."""
    stage = species.markers[marker].bbch if marker else None
    return stage is not None and stage in AUTUMN


def told_by_notes(marker: Marker) -> bool:
    """Whether notes of past seasons move a marker: a stage of the tree, not something of the weather."""
    return bool(marker.sd_days) and (marker.bbch is not None or not marker.of_weather)


def _own_dates(
    species: Species,
    notes: Sequence[StageNote],
    lessons: Sequence[Lesson],
    dated: Mapping[str, Mapping[int, float]],
    tree: str,
) -> tuple[dict[str, NotedDate], list[Lesson]]:
    """Markers that go by their own notes, and the lessons with these as own dates.

    So do those of autumn, of which temperatures told nothing in two countries' records (from memory), and
    those whose rule did no better than the mean of what was noted here.
    """
    found: dict[str, NotedDate] = {}
    told = list(lessons)
    for marker in sorted({one.marker for one in lessons if one.use == "moves"}):
        of_it = [one.use == "moves" and one.marker == marker for one in told]
        if not (of_autumn(species, marker) or _beaten(notes, told, of_it)):
            continue
        usual = usual_column(dated[marker])
        told = [_as_own_date(one, usual) if its else one for one, its in zip(told, of_it, strict=True)]
        own = [pair for pair, its in zip(zip(notes, told, strict=True), of_it, strict=True) if its]
        together = _taught_together(species, own)
        known = replace(together, error=RuleError(LASTING_DAYS, together.error.year_days)).of_tree(tree)
        found[marker] = NotedDate(usual + float(known.shift_days), float(known.sd_days))
        told = _judged(told, known.right, of_it)
    return found, told


def _beaten(notes: Sequence[StageNote], lessons: Sequence[Lesson], of_it: Sequence[bool]) -> bool:
    its = [pair for pair, one in zip(zip(notes, lessons, strict=True), of_it, strict=True) if one]
    rule = np.array([lesson.rule for _, lesson in its])
    off = np.array([lesson.difference_days for _, lesson in its])
    return rule_is_beaten(rule + off, rule, np.array([note.season for note, _ in its]))


def _as_own_date(lesson: Lesson, usual: float) -> Lesson:
    noted = lesson.rule + lesson.difference_days
    return replace(lesson, use="own date", rule=usual, difference_days=noted - usual)


def _judged(lessons: Iterable[Lesson], right: FloatArray, which: Iterable[bool]) -> list[Lesson]:
    """Lessons with how likely each of some is right."""
    judged = iter(right.tolist())
    return [
        replace(one, right=next(judged)) if of_these else one
        for one, of_these in zip(lessons, which, strict=True)
    ]


def taught_by_kind(
    species: Species, notes: Sequence[StageNote], dated: Mapping[str, Mapping[int, float]], season: int
) -> KindTaught | None:
    """What a kind's notes of past seasons come to, for other kinds to learn from; as for `learn`."""
    lessons = [_lesson(species, note, dated, season) for note in notes]
    _, lessons = _own_dates(species, notes, lessons, dated, "")
    taught = _taught(species, zip(notes, lessons, strict=True))
    return taught.of_kind if taught else None


def _taught(species: Species, told: Iterable[tuple[StageNote, Lesson]]) -> Taught | None:
    """What notes of past seasons teach together of spring; None where none moves its dates."""
    moving = [(note, one) for note, one in told if one.use == "moves"]
    return _taught_together(species, moving) if moving else None


def _taught_together(species: Species, told: Sequence[tuple[StageNote, Lesson]]) -> Taught:
    return Taught(
        np.array([one.difference_days for _, one in told]),
        np.array([one.weight for _, one in told]),
        tuple(note.tree for note, _ in told),
        RuleError.of([with_its_draws(species.markers, one.marker) for _, one in told]),
    )


def _untaught(species: Species) -> Taught | None:
    """A kind without notes of its own; None for one whose stages no rule errs in."""
    staged = (name for name, marker in species.markers.items() if marker.bbch is not None)
    erring = [one for one in (with_its_draws(species.markers, name) for name in staged) if one.sd_days]
    return Taught(np.empty(0), np.empty(0), (), RuleError.of(erring)) if erring else None


def _of_season(notes: Iterable[StageNote], season: int, tree: str) -> list[StageNote]:
    """A tree's own notes of a season and those of no tree; where it has none of its own, its kind's."""
    now = [note for note in notes if note.season == season]
    own = tree and any(note.tree == tree for note in now)
    return [note for note in now if note.tree in (tree, "")] if own else now


def _lesson(
    species: Species, note: StageNote, dated: Mapping[str, Mapping[int, float]], season: int
) -> Lesson:
    if note.season == season and (met := markers_told(species, note)):
        return Lesson("this season", stage_marker(species, note.bbch) or met[0])
    stands = stand_in(species, note.bbch)
    if stands is None:
        return Lesson("no such stage")
    if not note.seen or note.earlier:
        return Lesson("no date", stands.marker)
    error = with_its_draws(species.markers, stands.marker)
    if not error.sd_days:
        return Lesson("weather alone", stands.marker)
    rule = dated[stands.marker].get(note.season, np.inf)
    if not np.isfinite(rule):
        return Lesson("no weather", stands.marker)
    year = RuleError.of([error]).year_days ** 2
    weight = float(np.exp(-DECAY * (season - note.season))) * year / (year + stands.variance)
    difference = note.column + stands.later_days - rule
    return Lesson("moves", stands.marker, rule, difference, weight, later_days=stands.later_days)


@dataclass(frozen=True)
class Taught:
    """The notes of one kind in past seasons, shapes (notes,)."""

    differences_days: FloatArray
    weights: FloatArray
    trees: tuple[str, ...]  # ids; empty: of no tree in particular
    error: RuleError

    def of_tree(self, tree: str = "", others: Sequence[KindTaught] = ()) -> Posterior:
        """What they say of one tree (empty: of the kind), beside those of the yard's other kinds."""
        weights = counting_for(tree, self.trees, self.weights, self.error.year_days)
        before = prior(others, self.error.yard_days)
        error = RuleError(before.sd_days, self.error.year_days)
        return posterior(self.differences_days, weights, error, before.mean_days)

    @property
    def of_kind(self) -> KindTaught | None:
        """What they come to, for other kinds to learn from; None where all are slips."""
        weights = counting_for("", self.trees, self.weights, self.error.year_days) * self.of_tree().right
        whole = float(weights.sum())
        if whole < NOTHING_LEFT:
            return None
        difference = float((weights * self.differences_days).sum()) / whole
        return KindTaught(difference, self.error.year_days**2 / whole, self.error.yard_days)
