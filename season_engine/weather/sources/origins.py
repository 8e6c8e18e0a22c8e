"""Where readings and forecasts come from, and whom to name for them: facts, which `words` makes texts of.

An origin's `name` is its plain English name, for errors.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LoggerOrigin:
    """A grower's own file of readings."""

    file: str  # as it is written in season.toml

    @property
    def name(self) -> str:
        """``logger file ridge.csv``."""
        return f"logger file {self.file}"


@dataclass(frozen=True, slots=True)
class StationOrigin:
    """A public weather station."""

    id: str
    station: str  # as the directory of stations calls it

    @property
    def name(self) -> str:
        """``weather station Kettle Ridge (Q0001)``."""
        return f"weather station {self.station} ({self.id})"


@dataclass(frozen=True, slots=True)
class InventedOrigin:
    """No readings at all: the demo's weather."""

    @property
    def name(self) -> str:
        """That it is invented."""
        return "invented weather (demo)"


@dataclass(frozen=True, slots=True)
class GivenOrigin:
    """Readings that were handed over, by the name they had there."""

    name: str


Origin = LoggerOrigin | StationOrigin | InventedOrigin | GivenOrigin


@dataclass(frozen=True, slots=True)
class ForecastFileOrigin:
    """A grower's own log of forecasts."""

    file: str  # as it is written in season.toml


@dataclass(frozen=True, slots=True)
class ForecastServiceOrigin:
    """A weather service, on whose terms its forecast is used."""

    service: str
    licence: str


ForecastOrigin = ForecastFileOrigin | ForecastServiceOrigin


@dataclass(frozen=True, slots=True)
class StationCredit:
    """Whose data a station's are, on which terms, and that they were changed, as such terms ask."""

    attribution: str
    licence: str
    height_adjusted: bool


@dataclass(frozen=True, slots=True)
class SecondStationCredit:
    """The same where a station's readings only stand in for others; they are adjusted to the yard."""

    station: StationOrigin
    distance_km: float
    attribution: str
    licence: str


SourceFact = Origin | StationCredit | SecondStationCredit | ForecastOrigin


@dataclass(frozen=True)
class StationFacts:
    """The public station that stands for a site, as it is told to the grower."""

    id: str
    name: str
    distance_km: float
    height_difference_m: float | None  # how much higher than the site; None where a height isn't known
    correction_c: float  # added to its temperatures for that height [degC]
    attribution: str  # whom to name
    licence: str
    fetched_at: dt.datetime  # when all that is due was last fetched
    missing_years: tuple[int, ...] = ()  # the service has no file for them: a fact, no failure
    others: tuple[str, ...] = ()  # names of stations that could stand in its place, the next best first

    @property
    def origin(self) -> StationOrigin:
        """Which station its readings are of."""
        return StationOrigin(self.id, self.name)

    @property
    def credit(self) -> StationCredit:
        """Whom to name for them."""
        return StationCredit(self.attribution, self.licence, bool(self.correction_c))

    @property
    def credit_as_second(self) -> SecondStationCredit:
        """Whom to name where they only stand in for others."""
        return SecondStationCredit(self.origin, self.distance_km, self.attribution, self.licence)
