"""Dates of all of a species' markers in every trace, spread by the error of the rules themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property, reduce
from statistics import NormalDist
from typing import Any, Generic, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.markers.progress import Reached
from season_engine.markers.scene import Scene
from season_engine.phenology.date_odds import DateOdds
from season_engine.phenology.learning import NOTHING, LearntArrays, of_autumn, told_by_notes
from season_engine.phenology.own_dates import BY_ITS_RULE, NotedDate
from season_engine.pot import Pot
from season_engine.species.catalogue import Species
from season_engine.traces import Traces, TraceSet
from season_engine.tree import POTS

FloatArray = NDArray[np.float64]
AnyTraces = TypeVar("AnyTraces", bound=Traces)

MEDIUM_POT = POTS["medium"].usual
# The rules' error as a quantile grid instead of random draws: repeatable, smooth and fast.
SHARES = [(place + 0.5) / 21 for place in range(21)]
DRAWS = np.array([NormalDist().inv_cdf(share) for share in SHARES])


@dataclass(frozen=True)
class Dating(Generic[AnyTraces]):
    """How far it is to, and dates of, each marker of one species in arrays [..., trace, draw].

    Dates are whole columns of the traces, infinite where a marker is not reached. One draw of the error is
    shared by all the markers of a species, so that their order holds in every draw.
    """

    traces: AnyTraces
    reached: Mapping[str, Reached]  # before notes moved the dates
    dates: Mapping[str, FloatArray]
    plain: Mapping[str, FloatArray]  # the dates without the error, shape (..., traces)
    pot: Pot = MEDIUM_POT
    # the last column on which a marker was looked for in vain, by its name
    not_yet: Mapping[str, ArrayLike] = field(default_factory=dict)
    # the first column by which a marker had come, by its name
    already: Mapping[str, ArrayLike] = field(default_factory=dict)
    # the dates of those markers as the rules alone have them
    unheld: Mapping[str, FloatArray] = field(default_factory=dict)

    _odds: dict[str, DateOdds] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def weights(self) -> FloatArray:
        """Weight of each trace and draw, sum 1 in each case; none where a note rules it out."""
        draws = next(iter(self.dates.values())).shape[-1]
        weights = np.repeat(self.traces.weights[..., None], draws, axis=-1) / draws
        # a comparison with NaN is false: what isn't known rules nothing out
        ruled_out = []
        for name, dates in self.unheld.items():
            ruled_out += [dates <= _of_cases(self.not_yet[name])] if name in self.not_yet else []
            ruled_out += [dates > _of_cases(self.already[name])] if name in self.already else []
        for impossible in ruled_out:
            still = np.where(impossible, 0.0, weights)
            left = still.sum(axis=(-2, -1), keepdims=True)
            # where every chance was wrong, the note moves the dates instead
            weights = np.where(left > 0.0, still / np.where(left > 0.0, left, 1.0), weights)
        return np.asarray(weights)

    def odds(self, name: str) -> DateOdds:
        """Odds of the date of one marker, shape (..., chances); put in order once."""
        if name not in self._odds:
            self._odds[name] = chances(self.dates[name], self.weights)
        return self._odds[name]


SeasonDating = Dating[TraceSet]  # of one case


def chances(dates: FloatArray, weights: FloatArray) -> DateOdds:
    """Dates of traces and draws as odds, shape (..., chances)."""
    return DateOdds(dates.reshape(*dates.shape[:-2], -1), weights.reshape(*weights.shape[:-2], -1))


def date_markers(
    species: Species, traces: AnyTraces, pot: Pot = MEDIUM_POT, learnt: LearntArrays = NOTHING
) -> Dating[AnyTraces]:
    """Date every marker of `species` in `traces`, for a tree in that pot.

    `learnt` moves and narrows the dates of what has an error, or gives the yard's own instead; what was seen
    this season is known to the day.
    """
    found: dict[str, Reached] = {}
    plain: dict[str, FloatArray] = {}
    spread: dict[str, FloatArray] = {}
    unheld: dict[str, FloatArray] = {}
    error_days: dict[str, FloatArray] = {}  # standard deviations of the dates, one a case
    moved: set[str] = set()  # what is counted from these has moved with them
    for name, marker in species.markers.items():
        scene = Scene(traces, plain, pot)
        found[name] = marker.reached(scene)
        plain[name] = found[name].dates
        shift, share = _moved(learnt, species, name)
        if moved.intersection(marker.depends_on):
            moved.add(name)
        elif told_by_notes(marker):
            plain[name] = plain[name] + np.asarray(shift, np.float64)[..., None]
            moved.add(name)
        noted = _noted(learnt, name)
        ruled = np.isnan(noted.column)
        plain[name] = np.where(ruled[..., None], plain[name], np.asarray(noted.column)[..., None])
        # errors add as independent ones do, but share a draw, so that stages keep their order
        before = reduce(np.maximum, (error_days[other] for other in marker.draws_on), np.zeros(()))
        error_days[name] = np.where(
            ruled, np.hypot(before, np.asarray(share) * marker.sd_days), noted.sd_days
        )
        strays = _of_cases(np.where(ruled, error_days[name] - before, 0.0))
        strays = strays * marker.straying(scene, plain[name])[..., None]
        by_rule = marker.spread(plain[name], spread, strays * DRAWS)
        spread[name] = whole_days(by_rule if ruled.all() else _noted_instead(by_rule, ruled, noted))
        if name in learnt.not_yet or name in learnt.already:
            if name not in learnt.about:  # else its draws are not the rules', and within the notes already
                unheld[name] = spread[name]
            spread[name], plain[name] = _held(learnt, name, spread[name], plain[name])
    already = {} if learnt.about else learnt.already  # of the past: told by the stage near by, not by draws
    return Dating(traces, found, spread, plain, pot, learnt.not_yet, already, unheld)


def _noted_instead(by_rule: FloatArray, ruled: NDArray[np.bool_], noted: NotedDate) -> FloatArray:
    """The draws of a marker's dates, those of its notes where no rule dates it."""
    return np.where(_of_cases(ruled), by_rule, noted.at(SHARES)[..., None, :])


def whole_days(dates: FloatArray) -> FloatArray:
    """The whole column each date lies in: a date with a fraction belongs to the nearest."""
    return np.floor(dates + 0.5)


def _moved(learnt: LearntArrays, species: Species, name: str) -> tuple[ArrayLike, ArrayLike]:
    """By how many days past notes move a marker, and what share of its error they leave."""
    spring = told_by_notes(species.markers[name]) and not of_autumn(species, name)
    return (learnt.shift_days, learnt.spread) if spring else (0.0, 1.0)


def _noted(learnt: LearntArrays, name: str) -> NotedDate:
    """A marker's date by notes, this season's before those of others; NaN where its rule dates it."""
    noted = learnt.about.get(name) or learnt.own_dates.get(name, BY_ITS_RULE)
    if name not in learnt.seen:
        return noted
    seen = np.asarray(learnt.seen[name], np.float64)
    unseen = np.isnan(seen)
    return NotedDate(np.where(unseen, noted.column, seen), np.where(unseen, noted.sd_days, 0.0))


def _held(
    learnt: LearntArrays, name: str, dates: FloatArray, plain: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """The dates within what this season's notes leave, and where none of a case is, its plain ones as well.

    A chance outside keeps no weight, as long as there are others.
    """
    first = np.nan_to_num(_of_cases(learnt.not_yet.get(name, np.nan)) + 1.0, nan=-np.inf)
    last = np.nan_to_num(_of_cases(learnt.already.get(name, np.nan)), nan=np.inf)
    within = np.asarray((first <= dates) & (dates <= last))
    some_left = np.asarray(within.any(axis=(-2, -1)))[..., None]
    held = np.clip(plain, first[..., 0], last[..., 0])
    return np.clip(dates, first, last), np.where(some_left, plain, held)


def _of_cases(numbers: ArrayLike) -> NDArray[Any]:
    """Numbers of cases, ready for arrays [..., trace, draw]."""
    return np.asarray(numbers)[..., None, None]
