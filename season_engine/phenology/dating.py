"""Dates of all of a species' markers in every trace, spread by the error of the rules themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.progress import Reached
from season_engine.markers.scene import Scene
from season_engine.phenology.learning import NOTHING, Learnt
from season_engine.species.catalogue import Species
from season_engine.traces import TraceSet

FloatArray = NDArray[np.float64]

MEDIUM_POT_L = 10.0
# The rules' error as a quantile grid instead of random draws: repeatable, smooth and fast.
DRAWS = np.array([NormalDist().inv_cdf((place + 0.5) / 21) for place in range(21)])


@dataclass(frozen=True)
class Dating:
    """How far it is to, and dates of, each marker of one species in one trace set.

    `dates` holds columns of the trace, shape (traces, draws); one draw of the error is shared by all the
    markers of a species, so that their order holds in every draw.
    """

    traces: TraceSet
    reached: Mapping[str, Reached]  # before notes moved the dates
    dates: Mapping[str, FloatArray]
    plain: Mapping[str, FloatArray]  # the dates without the error, shape (traces,)
    pot_l: float = MEDIUM_POT_L
    # the last column on which a marker was looked for in vain, by its name
    not_yet: Mapping[str, int] = field(default_factory=dict)
    # the first column by which a marker had come, by its name
    already: Mapping[str, int] = field(default_factory=dict)

    @cached_property
    def weights(self) -> FloatArray:
        """Weight of each trace and draw, shape (traces, draws), sum 1; none where a note rules it out."""
        draws = next(iter(self.dates.values())).shape[1]
        weights = np.repeat(self.traces.weights[:, None], draws, axis=1) / draws
        left = [self.dates[name] > column for name, column in self.not_yet.items()]
        left += [self.dates[name] <= column for name, column in self.already.items()]
        for possible in left:
            still = np.where(possible, weights, 0.0)
            if still.any():  # else every chance was wrong, and the note moves the dates instead
                weights = still / still.sum()
        return np.asarray(weights)


def date_markers(
    species: Species, traces: TraceSet, pot_l: float = MEDIUM_POT_L, learnt: Learnt = NOTHING
) -> Dating:
    """Date every marker of `species` in `traces`, for a tree in a pot of so many litres.

    `learnt` moves and narrows the dates of what has an error; what was seen this season is known to the day.
    """
    found: dict[str, Reached] = {}
    plain: dict[str, FloatArray] = {}
    spread: dict[str, FloatArray] = {}
    moved: set[str] = set()  # what is counted from these has moved with them
    for name, marker in species.markers.items():
        found[name] = marker.reached(Scene(traces, plain, pot_l))
        plain[name] = found[name].dates
        if moved.intersection(marker.depends_on):
            moved.add(name)
        elif marker.sd_days:
            plain[name] = plain[name] + learnt.shift_days
            moved.add(name)
        if name in learnt.seen:
            plain[name] = np.full(len(traces), float(learnt.seen[name]))
        share = 0.0 if name in learnt.seen else learnt.spread  # of the rule's error
        spread[name] = marker.spread(plain[name], spread, share * marker.sd_days * DRAWS)
        if name in learnt.not_yet and (spread[name] <= learnt.not_yet[name]).all():
            spread[name] = np.maximum(spread[name], learnt.not_yet[name] + 1.0)
        if name in learnt.already and (spread[name] > learnt.already[name]).all():
            spread[name] = np.minimum(spread[name], float(learnt.already[name]))
    return Dating(traces, found, spread, plain, pot_l, learnt.not_yet, learnt.already)
