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
    errors = ((_error(seasons.observed - days, log), rule) for rule, days in _grid(seasons))
    found = sorted(errors, key=lambda pair: pair[0])
    return tuple(rule for _, rule in found[:RULES_KEPT])


def _grid(seasons: PastSeasons) -> Iterator[tuple[ForcingRule, FloatArray]]:
    """Every rule of the grid with its need fitted, and the day it gives each season.

    The need is what is there in the middle of the day on which the event was seen, not at its end.
    """
    observed, traces = seasons.observed, seasons.traces
    latest_start = float(np.quantile(observed, 0.05)) - LEAST_NOTICE
    starts = [start for start in STARTS if start <= latest_start or start == 0]
    chill = np.cumsum(traces.chill_portions[:, 0], axis=1)
    worth = {softening: np.exp(softening * chill) for softening in SOFTENINGS}
    season, on_the_day = np.arange(observed.size), observed.astype(np.int64)
    day_before = np.maximum(on_the_day - 1, 0)
    day = np.arange(chill.shape[1])
    for steepness, middle in product(STEEPNESS_PER_C, MIDDLE_C):
        daily = traces.by_day(partial(sigmoid_forcing, steepness_per_c=steepness, middle_c=middle)) / 24
        forcing = daily[:, 0]
        for start in starts:
            heat = np.cumsum(np.where(day >= start, forcing, 0.0), axis=1)
            for softening in SOFTENINGS:
                level = heat * worth[softening]
                need = float(np.median((level[season, day_before] + level[season, on_the_day]) / 2))
                if not 0 < need <= MOST_NEED:
                    continue
                days = _day_reached(level, need)
                yield (
                    ForcingRule(
                        from_day=start,
                        steepness_per_c=steepness,
                        middle_c=middle,
                        softening=softening,
                        need=need,
                    ),
                    days,
                )


def _day_reached(level: FloatArray, need: float) -> FloatArray:
    """Day on which a rising level reaches a need; its fraction makes the search smooth."""
    reached = level >= need
    day = np.where(reached[:, -1], reached.argmax(axis=1), level.shape[1] - 1)
    season = np.arange(day.size)
    before = np.where(day > 0, level[season, np.maximum(day - 1, 0)], 0.0)
    rise = np.maximum(level[season, day] - before, 1e-12)
    return np.asarray(day - 0.5 + np.clip((need - before) / rise, 0.0, 1.0))


def _log_weights(seasons: PastSeasons) -> FloatArray:
    """What each date counts in each season's log: earlier ones of the same station, the older the less."""
    age = seasons.years[:, None] - seasons.years
    own = (seasons.station[:, None] == seasons.station) & (age > 0)
    return np.where(own, np.exp(-DECAY * age), 0.0)


def _error(off: FloatArray, log: FloatArray) -> float:
    """Mean size of what a season's log leaves of its error; the rule counts as much as one date."""
    shift = log @ off / (log.sum(axis=1) + 1.0)
    return float(np.abs(off - shift).mean())
