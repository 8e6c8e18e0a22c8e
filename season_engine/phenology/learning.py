"""What a grower's own notes say about a species in this yard: how far its dates run from the catalogue's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.markers.base import Marker
from season_engine.phenology.pooling import KindTaught, counting_for, prior
from season_engine.phenology.stages import (
    ROWS,
    StageNote,
    known_of_season,
    markers_told,
    stage_marker,
    stand_in,
)
from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

# Of a rule's error, what strays from year to year where no fit says: rules are off by nine days and stray by
# three to six at the forest of docs/evidence/buds.md, and by as large a share where they are good (cherries).
YEAR_SHARE = 0.6
WILD = 0.05  # chance that a note is a slip: another tree, another month
WILD_SPAN_DAYS = 120.0
NOTHING_LEFT = 1e-9  # of the weight of notes that are slips
DECAY = 0.15  # a year; trees and observers change
GRID_DAYS = np.linspace(-60.0, 60.0, 241)
# How much more or less than the rule says a year's date may stray in a yard: tried, and how likely.
STRAYS_MORE = np.exp(np.linspace(-0.8, 0.8, 5))
STRAYS_SPREAD = 0.35  # of its logarithm


Use = Literal["moves", "this season", "no such stage", "weather alone", "no date", "no weather"]


@dataclass(frozen=True, slots=True)
class Lesson:
    """What became of one note; `difference_days` and what follows only where it moves the dates."""

    use: Use
    marker: str = ""  # the one that stands for its stage
    rule: float = np.inf  # column the catalogue's rule gave in that season's weather
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
    # the same of markers that go by their own notes alone, as colour and fall of leaves do
    apart: Mapping[str, tuple[float, float]] = field(default_factory=dict)
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
    other_kinds: int = 0  # whose notes of past seasons count as well
    yard_days: float = 0.0  # of the shift, what these have the yard run later for all
    tree_days: float = 0.0  # of it, by how much the tree runs later than its kind
    lessons: tuple[Lesson, ...] = ()  # one a note, in their order

    def in_general(self) -> Learnt:
        """Without what is known of this season in particular."""
        return replace(self, seen={}, not_yet={}, already={}, lessons=())


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
    taught = taught_by(species, notes, lessons)
    apart, lessons = _apart(species, notes, lessons, tree)
    if taught is None and others:
        taught = _untaught(species)
    if taught is None:
        return replace(this_season, apart=apart, lessons=tuple(lessons))
    found = taught.of_tree(tree, others)
    told = _judged(lessons, found.right, (not of_autumn(species, one.marker) for one in lessons))
    shift = float(found.shift_days)
    return replace(
        this_season,
        apart=apart,
        shift_days=shift,
        spread=float(found.sd_days) / taught.error.whole_days,
        notes=len(taught.trees),
        other_kinds=len(others),
        yard_days=prior(others, taught.error.yard_days).mean_days,
        tree_days=shift - float(taught.of_tree("", others).shift_days) if tree else 0.0,
        lessons=tuple(told),
    )


def of_autumn(species: Species, marker: str) -> bool:
    """Whether a marker is of the end of growth, which runs late or early apart from spring."""
    stage = species.markers[marker].bbch if marker else None
    return stage is not None and stage in ROWS[-1]


def _apart(
    species: Species, notes: Sequence[StageNote], lessons: Sequence[Lesson], tree: str
) -> tuple[dict[str, tuple[float, float]], list[Lesson]]:
    """Shift and spread of each marker of autumn by its own notes, and the lessons with these judged."""
    found = {}
    told = list(lessons)
    for marker in {one.marker for one in lessons if one.use == "moves" and of_autumn(species, one.marker)}:
        taught = _taught(
            species, [pair for pair in zip(notes, lessons, strict=True) if pair[1].marker == marker]
        )
        if taught is not None:
            known = taught.of_tree(tree)
            found[marker] = float(known.shift_days), float(known.sd_days) / taught.error.whole_days
            told = _judged(told, known.right, (one.marker == marker for one in told))
    return found, told


def _judged(lessons: Iterable[Lesson], right: FloatArray, which: Iterable[bool]) -> list[Lesson]:
    """Lessons with how likely each of some that move the dates is right."""
    judged = iter(right.tolist())
    return [
        replace(one, right=next(judged)) if one.use == "moves" and of_these else one
        for one, of_these in zip(lessons, which, strict=True)
    ]


def taught_by_kind(
    species: Species, notes: Sequence[StageNote], dated: Mapping[str, Mapping[int, float]], season: int
) -> KindTaught | None:
    """What a kind's notes of past seasons come to, for other kinds to learn from; as for `learn`."""
    taught = taught_by(species, notes, [_lesson(species, note, dated, season) for note in notes])
    return taught.of_kind if taught else None


def taught_by(species: Species, notes: Sequence[StageNote], lessons: Sequence[Lesson]) -> Taught | None:
    """What notes of past seasons teach together of spring; None where none moves its dates."""
    told = zip(notes, lessons, strict=True)
    return _taught(species, [pair for pair in told if not of_autumn(species, pair[1].marker)])


def _taught(species: Species, told: Iterable[tuple[StageNote, Lesson]]) -> Taught | None:
    moving = [(note, one) for note, one in told if one.use == "moves"]
    if not moving:
        return None
    return Taught(
        np.array([one.difference_days for _, one in moving]),
        np.array([one.weight for _, one in moving]),
        tuple(note.tree for note, _ in moving),
        RuleError.of([with_its_draws(species.markers, one.marker) for _, one in moving]),
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


def with_its_draws(markers: Mapping[str, Marker], name: str) -> Marker:
    """A marker with the whole error of its date: one counted in days adds its own to another's draws."""
    marker = markers[name]
    if marker.draws_on is None:
        return marker
    other = with_its_draws(markers, marker.draws_on)
    year = None if other.year_sd_days is None else other.year_sd_days + marker.sd_days
    return marker.model_copy(update={"sd_days": other.sd_days + marker.sd_days, "year_sd_days": year})


def learn_log(
    marker: Marker,
    years: IntArray,
    differences_days: FloatArray,
    seasons: IntArray,
    newest: int | None = None,
) -> LearntArrays:
    """What a log of one event teaches for each of many seasons, from its years before; shapes of `seasons`.

    Parameters
    ----------
    years : first years of the noted seasons, rising, shape (notes,).
    differences_days : noted later than the rule gave, shape (notes,); infinite or NaN where it gave no date.
    seasons : first years of the seasons looked ahead into, shape (cases,).
    newest : how many of the last noted seasons count; None: all.
    """
    age = seasons[:, None] - years
    later = np.cumsum((age > 0)[:, ::-1], axis=1)[:, ::-1]  # this one and those noted after it
    counts = (age > 0) & np.isfinite(differences_days) & (later <= (years.size if newest is None else newest))
    error = RuleError.of([marker])
    found = posterior(differences_days, np.where(counts, np.exp(-DECAY * age), 0.0), error)
    untaught = ~counts.any(axis=1)
    spread = found.sd_days / error.whole_days
    return LearntArrays(np.where(untaught, 0.0, found.shift_days), np.where(untaught, 1.0, spread))


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


@dataclass(frozen=True)
class RuleError:
    """What a rule is off by, parted into what a yard has every year and what strays from year to year."""

    yard_days: float
    year_days: float

    @classmethod
    def of(cls, markers: Sequence[Marker]) -> RuleError:
        """Of several markers together; where one doesn't say what strays, it is a share of its error."""
        parts = np.array([_parted(marker.sd_days, marker.year_sd_days) for marker in markers])
        return cls(*np.sqrt((parts**2).mean(axis=0)).tolist())

    @property
    def whole_days(self) -> float:
        """Both together."""
        return float(np.hypot(self.yard_days, self.year_days))


def _parted(sd_days: float, year_sd_days: float | None) -> tuple[float, float]:
    if year_sd_days is not None:
        return max(sd_days**2 - year_sd_days**2, 1.0) ** 0.5, year_sd_days
    year = YEAR_SHARE * sd_days
    return (sd_days**2 - year**2) ** 0.5, year


@dataclass(frozen=True)
class Posterior:
    """What notes leave of a rule's error; leading axes are cases."""

    shift_days: FloatArray  # shape (...)
    sd_days: FloatArray  # of a date, with what strays in a year, shape (...)
    odds: FloatArray  # of each shift and straying, shape (..., shifts, strayings)
    no_slip: FloatArray  # chance that each note is none, given those, shape (..., notes, shifts, strayings)

    @property
    def right(self) -> FloatArray:
        """Chance that each note is no slip, shape (..., notes)."""
        return np.asarray((self.no_slip * self.odds[..., None, :, :]).sum(axis=(-2, -1)))


def posterior(
    differences_days: FloatArray, weights: FloatArray, error: RuleError, mean_days: float = 0.0
) -> Posterior:
    """The yard's shift and how far its years stray, by Bayes' rule on a grid of both.

    The rule's error is the prior: what of it is not one year's noise is the yard's. Each note is either
    right, give or take a year's noise, or a slip that tells nothing; old notes count for less. How much years
    stray is itself learnt: some observers and trees keep closer to a rule than others.

    Parameters
    ----------
    differences_days : noted later than the rule gave in that season's weather, shape (..., notes), or
        (notes,) where all cases have the same.
    weights : of each note, shape (..., notes); 0 where there is none, whatever the difference.
    mean_days : what the yard's shift likely is before any note.
    """
    strays = error.year_days * STRAYS_MORE
    known = np.where(np.isfinite(differences_days), differences_days, 0.0)[..., None, None]
    right = np.exp(-0.5 * ((known - GRID_DAYS[:, None]) / strays) ** 2)
    right *= (1 - WILD) / (strays * np.sqrt(2 * np.pi))
    either = right + WILD / WILD_SPAN_DAYS
    log_odds = (weights[..., None, None] * np.log(either)).sum(axis=-3)
    log_odds -= 0.5 * ((GRID_DAYS[:, None] - mean_days) / error.yard_days) ** 2
    # centred so that a priori the years' mean square is the rule's
    log_odds -= 0.5 * (np.log(STRAYS_MORE) / STRAYS_SPREAD + STRAYS_SPREAD) ** 2
    odds = np.exp(log_odds - log_odds.max(axis=(-2, -1), keepdims=True))
    odds /= odds.sum(axis=(-2, -1), keepdims=True)
    shift = odds.sum(axis=-1) @ GRID_DAYS
    variance = odds.sum(axis=-1) @ GRID_DAYS**2 - shift**2 + odds.sum(axis=-2) @ strays**2
    return Posterior(shift, np.sqrt(variance), odds, right / either)
