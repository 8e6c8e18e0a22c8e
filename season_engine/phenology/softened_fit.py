"""Fitting softened-heat models of one event on many stations' seasons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError
from season_engine.phenology.marker_models import (
    day_reached,
    softened_level,
    thermal_level,
    worth_after_chill,
)
from season_engine.phenology.season_rows import SeasonRows

FloatArray = NDArray[np.float64]

# The grid that is searched: few parameters, each over all that is plausible for a bud.
STEEPNESS_PER_C = (0.15, 0.2, 0.3, 0.4, 0.6, 0.8)
MIDDLE_C = (8.0, 10.0, 12.0, 14.0, 16.0, 18.0)
STARTS = (0, 60, 92, 107, 123, 138)
SOFTENINGS = (0.0, 0.004, 0.008, 0.012, 0.016, 0.02, 0.024, 0.032)

MODELS_KEPT = 6  # near-equals whose mean errs less than any of them
MOST_ROWS = 600  # station-seasons searched; more add time and little else
LEAST_NOTICE = 10  # days a start must lie before the earliest events
MISSED_DAYS = 0.1  # added to a model's mean error for each season it never gets there

LOG_YEARS = 15  # of the station's own notes
LOG_DECAY = 0.1  # a year; trees and observers change
LOG_PRIOR = 1.0  # notes that the pooled model is worth


@dataclass(frozen=True)
class SoftenedModel:
    """One set of parameters."""

    steepness_per_c: float
    middle_c: float
    start: int
    softening: float
    need: float


def fit_softened(stations: Sequence[SeasonRows], until: int) -> tuple[SoftenedModel, ...]:
    """The best models of the grid on events up to a year, by error after the station's own log.

    Raises GrowerError where no event had come in a season with temperatures by then.
    """
    data = _Pooled.of(stations, until)
    if not data.rows.years.size:
        raise too_little_dated(until)
    found = sorted(
        ((_error(data, model, level), model) for model, level in _grid(data)), key=lambda pair: pair[0]
    )
    return tuple(model for _, model in found[:MODELS_KEPT])


def too_little_dated(until: int) -> GrowerError:
    """What is missing where a forecaster can't be trained on the years to `until`."""
    return GrowerError(
        f"no station has four dates in seasons with temperatures that ended by {until}.",
        hint="The ten years after are needed to learn how far off forecasts are: choose a later "
        "--train-until, or add earlier years.",
    )


def dated(rows: SeasonRows, models: Sequence[SoftenedModel]) -> FloatArray:
    """Mean of the models' days in each season's own weather; NaN where it is not read far enough."""
    days = []
    for model in models:
        forcing = np.nan_to_num(rows.forcing(model.steepness_per_c, model.middle_c))
        chill = np.nan_to_num(rows.chill)
        level = softened_level(forcing, chill, start=model.start, softening=model.softening)
        days.append(day_reached(level, model.need))
    mean = np.mean(days, axis=0)
    return np.where(np.isfinite(mean), mean, np.nan)


def log_weights(
    noted: NDArray[np.bool_], years: NDArray[np.int64], stations: NDArray[np.int64]
) -> FloatArray:
    """What each earlier note of the same station counts in a season's log, shape (seasons, seasons)."""
    age = years[:, None] - years[None, :]
    own = (stations[:, None] == stations[None, :]) & (age > 0) & noted[None, :]
    newest_first = np.argsort(np.argsort(np.where(own, age, 10**6), axis=1, kind="stable"), axis=1)
    return np.where(own & (newest_first < LOG_YEARS), np.exp(-LOG_DECAY * age), 0.0)


def log_shift(residuals: FloatArray, weights: FloatArray) -> FloatArray:
    """Days by which a station runs later than the model, from its earlier notes; shrunk towards none."""
    known = ~np.isnan(residuals)
    total = weights @ np.where(known, residuals, 0.0)
    return np.asarray(total / (weights @ known.astype(np.float64) + LOG_PRIOR))


@dataclass(frozen=True)
class _Pooled:
    """Station-seasons with a note, of all stations together."""

    rows: SeasonRows
    weights: FloatArray  # of each season's log

    @classmethod
    def of(cls, stations: Sequence[SeasonRows], until: int) -> _Pooled:
        """Those with events before the end of `until`, thinned evenly where there are very many."""
        noted = [
            ~np.isnan(rows.observed) & (rows.years < until) & ~np.isnan(rows.tmax_c[:, :300]).any(axis=1)
            for rows in stations
        ]
        every = max(1, -(-sum(int(n.sum()) for n in noted) // MOST_ROWS))
        keep = [np.flatnonzero(n)[::every] for n in noted]

        def gathered(name: str) -> NDArray[np.float64]:
            parts = [getattr(rows, name)[rows_kept] for rows, rows_kept in zip(stations, keep, strict=True)]
            return np.concatenate(parts)

        rows = SeasonRows(
            gathered("years").astype(np.int64),
            np.nan_to_num(gathered("tmin_c")),
            np.nan_to_num(gathered("tmax_c")),
            stations[0].day_length_h,
            gathered("observed"),
        )
        # Put where the cached property would: each station has a day length of its own.
        rows.__dict__["hourly_c"] = np.nan_to_num(gathered("hourly_c"))
        stations_of = np.repeat(np.arange(len(keep)), [k.size for k in keep])
        return cls(rows, log_weights(~np.isnan(rows.observed), rows.years, stations_of))


def _grid(data: _Pooled) -> Iterator[tuple[SoftenedModel, FloatArray]]:
    """Every model of the grid with its need fitted, and its level in each row."""
    observed = data.rows.observed
    latest_start = float(np.quantile(observed, 0.05)) - LEAST_NOTICE
    on_the_day = observed.astype(np.int64)
    row = np.arange(observed.size)
    starts = [start for start in STARTS if start <= latest_start or start == 0]
    worth = {softening: worth_after_chill(data.rows.chill, softening) for softening in SOFTENINGS}
    for steepness, middle in product(STEEPNESS_PER_C, MIDDLE_C):
        forcing = data.rows.forcing(steepness, middle)
        for start in starts:
            heat = thermal_level(forcing, start=start)
            for softening in SOFTENINGS:
                level = heat * worth[softening]
                need = float(np.median(level[row, on_the_day]))
                yield SoftenedModel(steepness, middle, start, softening, need), level


def _error(data: _Pooled, model: SoftenedModel, level: FloatArray) -> float:
    days = day_reached(level, model.need)
    residuals = np.where(np.isfinite(days), data.rows.observed - days, np.nan)
    errors = np.abs(residuals - log_shift(residuals, data.weights))
    return float(np.nanmean(errors)) + MISSED_DAYS * float(np.isnan(residuals).sum())
