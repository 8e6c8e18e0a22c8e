"""A forecaster of one dated event: trained on many stations' earlier years, brought to one station.

A season's days so far are joined to what past years brought from here on. Three readings of those past
years are mixed: as they were, warmed by the station's own trend, and so warmed and going on as the last weeks
ran.
The dates that come out are moved by the station's own notes, and spread by the model's error.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.phenology.forecast import StationRecord
from season_engine.phenology.season_rows import SeasonRows, season_rows
from season_engine.phenology.softened_fit import (
    SoftenedModel,
    dated,
    fit_softened,
    log_shift,
    log_weights,
    too_little_dated,
)
from season_engine.phenology.spread import Spread, error_quantiles
from season_engine.phenology.station_forecast import StationForecaster
from season_engine.phenology.weather_memory import persistence

FloatArray = NDArray[np.float64]

HINDCAST_YEARS = 10  # of the training years, kept from a first fit to see how wide a spread must be
HINDCAST_LEADS = (42, 28, 14, 7)
MOST_HINDCAST_STATIONS = 30


@dataclass(frozen=True)
class SoftenedForecaster:
    """What was learnt of an event, for any station."""

    models: tuple[SoftenedModel, ...]
    spread: Spread
    persistence: FloatArray  # what is left of a warm month's anomaly 1, 2, ... days on

    def at(self, record: StationRecord) -> StationForecaster:
        """Bring it to one station."""
        return StationForecaster(season_rows(record), self.models, self.spread, self.persistence)


def train_forecaster(records: Sequence[StationRecord], train_until: int) -> SoftenedForecaster:
    """Learn an event from everything dated up to the end of `train_until`.

    Raises GrowerError where too little of it is older than the years that forecasts are tried on.
    """
    stations = [season_rows(record) for record in records]
    kept = persistence(stations, train_until)
    early = train_until - HINDCAST_YEARS
    first = fit_softened(stations, early)
    spread = _spread(stations, first, early)
    ratios = _hindcast_ratios(stations, first, spread, kept, range(early, train_until))
    models = fit_softened(stations, train_until)
    return SoftenedForecaster(models, _spread(stations, models, train_until, ratios), kept)


def _spread(
    stations: Sequence[SeasonRows],
    models: Sequence[SoftenedModel],
    until: int,
    ratios: FloatArray | None = None,
) -> Spread:
    """The models' error after each station's own log, over the training years."""
    errors = []
    for rows in stations:
        noted = ~np.isnan(rows.observed) & (rows.years < until)
        residuals = np.where(noted, rows.observed - dated(rows, models), np.nan)
        weights = log_weights(noted, rows.years, np.zeros_like(rows.years))
        seasoned = weights.sum(axis=1) > 2.0  # three notes or more behind it
        errors.append((residuals - log_shift(residuals, weights))[noted & seasoned])
    together = np.concatenate(errors)
    known = together[~np.isnan(together)]
    if not known.size:
        raise too_little_dated(until)
    return Spread(error_quantiles(known), np.ones(0) if ratios is None else ratios)


def _hindcast_ratios(
    stations: Sequence[SeasonRows],
    models: tuple[SoftenedModel, ...],
    spread: Spread,
    kept: FloatArray,
    years: range,
) -> FloatArray:
    """How far off past forecasts were, in half-widths of their 80 % interval, at all leads together."""
    ratios = []
    every = -(-len(stations) // MOST_HINDCAST_STATIONS)
    for rows in stations[::every]:
        station = StationForecaster(rows, models, spread, kept)
        for year in years:
            ratios += [ratio for lead in HINDCAST_LEADS if (ratio := station.ratio(year, lead)) is not None]
    return np.array(ratios) if ratios else np.ones(1)
