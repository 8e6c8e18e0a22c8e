"""Fitting a rule for one event on many stations' seasons: softened forcing, the mean of near-equals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import product

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError
from season_engine.markers.kinds.softened_forcings import MOST_NEED, ForcingRule
from season_engine.measures.heat import sigmoid_forcing
from season_engine.phenology.rule_error import DECAY
from season_engine.phenology.seasons import PastSeasons, past_seasons
from season_engine.phenology.station_record import StationRecord

FloatArray = NDArray[np.float64]
Point = dict[str, float]  # of the grid: the fields of a rule

# The grid that is searched: few parameters, each over all that is plausible for a bud.
STEEPNESS_PER_C = (0.15, 0.2, 0.3, 0.4, 0.6, 0.8)
MIDDLE_C = (8.0, 10.0, 12.0, 14.0, 16.0, 18.0)
STARTS = (0, 60, 92, 107, 123, 138)
SOFTENINGS = (0.0, 0.004, 0.008, 0.012, 0.016, 0.02, 0.024, 0.032)

RULES_KEPT = 6  # near-equals whose mean errs less than any of them
MOST_SEASONS = 600  # station-seasons searched; more add time and little else
LEAST_NOTICE = 10  # days a start must lie before the earliest events


def fit_rules(records: Sequence[StationRecord]) -> tuple[ForcingRule, ...]:
    """The best rules of the grid, by their mean error once each station's own earlier dates have moved them.

    So a rule is judged in a station's first seasons by itself, and later by what it errs from year to year.
    Raises GrowerError where no noted season lies within the temperatures.
    """
    seasons = past_seasons(records, noted=True, most=MOST_SEASONS)
    if not seasons.years.size:
        raise GrowerError(
            "no station has a date in a season with temperatures.",
            hint="Choose a later --train-until, or add earlier years.",
        )
    log = _log_weights(seasons)
    errors = (
        (error, point)
        for points, days in _grid(seasons)
        for error, point in zip(_errors(seasons.observed - days, log), points, strict=True)
    )
    found = sorted(errors, key=lambda pair: pair[0])
    return tuple(ForcingRule.model_validate(point) for _, point in found[:RULES_KEPT])


def _grid(seasons: PastSeasons) -> Iterator[tuple[list[Point], FloatArray]]:
    """Rules of the grid with their needs fitted, those that differ in their softening at a time.

    And the day that each gives each season, shape (rules, seasons). The need is what is there in the middle
    of the day on which the event was seen, not at its end.
    """
    observed, traces = seasons.observed, seasons.traces
    latest_start = float(np.quantile(observed, 0.05)) - LEAST_NOTICE
    starts = [start for start in STARTS if start <= latest_start or start == 0]
    chill = np.cumsum(traces.chill_portions[:, 0], axis=1)
    worth = np.exp(np.multiply.outer(SOFTENINGS, chill))
    season, on_the_day = np.arange(observed.size), observed.astype(np.int64)
    day_before = np.maximum(on_the_day - 1, 0)
    day, level = np.arange(chill.shape[1]), np.empty_like(worth)
    for steepness, middle in product(STEEPNESS_PER_C, MIDDLE_C):
        daily = traces.by_day(partial(sigmoid_forcing, steepness_per_c=steepness, middle_c=middle)) / 24
        for start in starts:
            np.multiply(np.cumsum(np.where(day >= start, daily[:, 0], 0.0), axis=1), worth, out=level)
            need = np.median((level[:, season, day_before] + level[:, season, on_the_day]) / 2, axis=1)
            kept = (need > 0) & (need <= MOST_NEED)
            points: list[Point] = [
                {
                    "from_day": start,
                    "steepness_per_c": steepness,
                    "middle_c": middle,
                    "softening": SOFTENINGS[at],
                    "need": float(need[at]),
                }
                for at in np.flatnonzero(kept)
            ]
            yield points, _days_reached(level, need)[kept]


def _days_reached(level: FloatArray, need: FloatArray) -> FloatArray:
    """Day on which a rising level reaches a need, of (rules, seasons, days) and (rules,): (rules, seasons).

    Its fraction makes the search smooth.
    """
    reached = level >= need[:, None, None]
    day = np.where(reached[..., -1], reached.argmax(axis=-1), level.shape[-1] - 1)
    rule, season = np.ogrid[: level.shape[0], : level.shape[1]]
    before = np.where(day > 0, level[rule, season, np.maximum(day - 1, 0)], 0.0)
    rise = np.maximum(level[rule, season, day] - before, 1e-12)
    return np.asarray(day - 0.5 + np.clip((need[:, None] - before) / rise, 0.0, 1.0))


def _log_weights(seasons: PastSeasons) -> FloatArray:
    """What each date counts in each season's log: earlier ones of the same station, the older the less."""
    age = seasons.years[:, None] - seasons.years
    own = (seasons.station[:, None] == seasons.station) & (age > 0)
    return np.where(own, np.exp(-DECAY * age), 0.0)


def _errors(off: FloatArray, log: FloatArray) -> list[float]:
    """Mean size of what a season's log leaves of each rule's error; the rule counts as much as one date."""
    shift = off @ log.T / (log.sum(axis=1) + 1.0)
    errors: list[float] = np.abs(off - shift).mean(axis=1).tolist()
    return errors
