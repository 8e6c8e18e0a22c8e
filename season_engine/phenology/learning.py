"""What a grower's own notes say about a species in this yard: how far its dates run from the catalogue's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.markers.base import Marker
from season_engine.phenology.stages import StageNote, known_of_season, markers_told, stage_marker
from season_engine.species.catalogue import Species

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

YEAR_NOISE_DAYS = 6.0  # what one year's date strays from a perfect rule; best agency records: 2 to 7
LEAST_YARD_DAYS = 2.0  # no rule is taken to fit every yard better than that
WILD = 0.05  # chance that a note is a slip: another tree, another month
WILD_SPAN_DAYS = 120.0
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
    this_season = Learnt(**vars(known_of_season(species, [one for one in notes if one.season == season])))
    if not moving:
        return replace(this_season, lessons=tuple(lessons))
    markers = [with_its_draws(species.markers, lesson.marker) for lesson in moving]
    error = RuleError.of(markers)
    found = posterior(
        np.array([lesson.difference_days for lesson in moving]),
        np.array([lesson.weight for lesson in moving]),
        error,
    )
    shift, spread, right = float(found.shift_days), float(found.spread), found.right
    judged = iter(right)
    told = tuple(replace(one, right=float(next(judged))) if one.use == "moves" else one for one in lessons)
    return replace(this_season, shift_days=shift, spread=spread, notes=len(moving), lessons=told)


def _lesson(
    species: Species, note: StageNote, dated: Mapping[str, Mapping[int, float]], season: int
) -> Lesson:
    marker = stage_marker(species, note.bbch)
    if note.season == season and (met := markers_told(species, note)):
        return Lesson("this season", marker or met[0])
    if marker is None:
        return Lesson("no such stage")
    if not note.seen or note.earlier:
        return Lesson("no date", marker)
    if not with_its_draws(species.markers, marker).sd_days:
        return Lesson("weather alone", marker)
    rule = dated[marker].get(note.season, np.inf)
    if not np.isfinite(rule):
        return Lesson("no weather", marker)
    weight = float(np.exp(-DECAY * (season - note.season)))
    return Lesson("moves", marker, rule, note.column - rule, weight)


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
    found = posterior(
        differences_days,
        np.where(counts, np.exp(-DECAY * age), 0.0),
        RuleError.of([marker]),
    )
    untaught = ~counts.any(axis=1)
    return LearntArrays(np.where(untaught, 0.0, found.shift_days), np.where(untaught, 1.0, found.spread))


@dataclass(frozen=True)
class RuleError:
    """What a rule is off by, parted into what a yard has every year and what strays from year to year."""

    yard_days: float
    year_days: float

    @classmethod
    def of(cls, markers: Sequence[Marker]) -> RuleError:
        """Of several markers together; one that doesn't say what strays has at most six days of it."""
        parts = np.array([_parted(marker.sd_days, marker.year_sd_days) for marker in markers])
        return cls(*np.sqrt((parts**2).mean(axis=0)).tolist())


def _parted(sd_days: float, year_sd_days: float | None) -> tuple[float, float]:
    if year_sd_days is not None:
        return max(sd_days**2 - year_sd_days**2, 1.0) ** 0.5, year_sd_days
    yard = max(max(sd_days**2 - YEAR_NOISE_DAYS**2, 0.0) ** 0.5, min(LEAST_YARD_DAYS, 0.8 * sd_days))
    return yard, (sd_days**2 - yard**2) ** 0.5


@dataclass(frozen=True)
class Posterior:
    """What notes leave of a rule's error; leading axes are cases."""

    shift_days: FloatArray  # shape (...)
    spread: FloatArray  # factor on the rule's error, shape (...)
    odds: FloatArray  # of each shift and straying, shape (..., shifts, strayings)
    no_slip: FloatArray  # chance that each note is none, given those, shape (..., notes, shifts, strayings)

    @property
    def right(self) -> FloatArray:
        """Chance that each note is no slip, shape (..., notes)."""
        return np.asarray((self.no_slip * self.odds[..., None, :, :]).sum(axis=(-2, -1)))


def posterior(differences_days: FloatArray, weights: FloatArray, error: RuleError) -> Posterior:
    """The yard's shift and how far its years stray, by Bayes' rule on a grid of both.

    The rule's error is the prior: what of it is not one year's noise is the yard's. Each note is either
    right, give or take a year's noise, or a slip that tells nothing; old notes count for less. How much years
    stray is itself learnt: some observers and trees keep closer to a rule than others.

    Parameters
    ----------
    differences_days : noted later than the rule gave in that season's weather, shape (..., notes), or
        (notes,) where all cases have the same.
    weights : of each note, shape (..., notes); 0 where there is none, whatever the difference.
    """
    strays = error.year_days * STRAYS_MORE
    known = np.where(np.isfinite(differences_days), differences_days, 0.0)[..., None, None]
    right = np.exp(-0.5 * ((known - GRID_DAYS[:, None]) / strays) ** 2)
    right *= (1 - WILD) / (strays * np.sqrt(2 * np.pi))
    either = right + WILD / WILD_SPAN_DAYS
    log_odds = (weights[..., None, None] * np.log(either)).sum(axis=-3)
    log_odds -= 0.5 * (GRID_DAYS[:, None] / error.yard_days) ** 2
    # centred so that a priori the years' mean square is the rule's
    log_odds -= 0.5 * (np.log(STRAYS_MORE) / STRAYS_SPREAD + STRAYS_SPREAD) ** 2
    odds = np.exp(log_odds - log_odds.max(axis=(-2, -1), keepdims=True))
    odds /= odds.sum(axis=(-2, -1), keepdims=True)
    shift = odds.sum(axis=-1) @ GRID_DAYS
    variance = odds.sum(axis=-1) @ GRID_DAYS**2 - shift**2 + odds.sum(axis=-2) @ strays**2
    whole = np.hypot(error.yard_days, error.year_days)
    return Posterior(shift, np.sqrt(variance) / whole, odds, right / either)
