"""Forecasts of a dated event at one station: what a trained forecaster offers and what it gives back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from season_engine.site import Site
from season_engine.weather.series import DailySeries

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Forecast:
    """A distribution over days of the season (0 is its first day, 29 February left out)."""

    days: FloatArray  # possible days, shape (cases,), ascending
    weights: FloatArray  # shape (cases,); with `not_reached` they sum to 1
    not_reached: float = 0.0  # chance that the event does not come at all

    def quantile(self, odds: float) -> float:
        """Day by which the event has come with such odds; infinite where it never reaches them."""
        reached = np.cumsum(self.weights)
        place = int(np.searchsorted(reached, odds - 1e-9))
        return float(np.inf if place >= self.days.size else self.days[place])


@dataclass(frozen=True)
class StationRecord:
    """One station's whole temperatures and the event's dates there."""

    site: Site
    series: DailySeries  # no NaN
    observed: Mapping[int, float]  # season's first year -> day of the season


class SiteForecaster(Protocol):
    """Forecasts for one station; uses nothing dated after the day of issue."""

    def forecast(self, season_year: int, issued_day: int) -> Forecast:
        """As seen from the end of a day of the season, given that the event has not come by then."""
        ...

    def whole_season(self, season_year: int) -> Forecast:
        """With the season's own weather to its end, and the log of earlier seasons."""
        ...

    def with_notes(self, noted: Mapping[int, float]) -> SiteForecaster:
        """The same station with other notes: season's first year -> day of the season."""
        ...


class Forecaster(Protocol):
    """What was learnt of an event from many stations' earlier years."""

    def at(self, record: StationRecord) -> SiteForecaster:
        """Bring it to one station."""
        ...
