"""What a site's temperatures are read from, and how they are asked for.

Each kind of source is a frozen dataclass with a `read`, in a module beside this one; `workspace` builds it
from what season.toml says.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from season_engine.facts import Progress
from season_engine.site import Site
from season_engine.weather.forecast.days import ForecastDays, Issue
from season_engine.weather.notices import Noted, SecondTrouble
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import StationFacts


@dataclass(frozen=True, slots=True)
class Retrieval:
    """One asking for weather: as of which day, when, and where what was read before is kept."""

    cache: Path  # folder
    on: dt.date  # the day that counts as today: nothing after it is known
    now: dt.datetime | None = None  # the moment, with its time zone: which downloads are due
    refresh: bool = False  # read the source again, whatever is kept of it
    progress: Progress | None = None  # told of the years of a station as they come in

    @property
    def moment(self) -> dt.datetime:
        """The moment; where none is given, noon of the day."""
        return self.now or dt.datetime.combine(self.on, dt.time(12), dt.UTC)


class Source(Protocol):
    """What a site's temperatures are read from."""

    @property
    def invented(self) -> bool:
        """Whether there are no real readings in it."""

    def read(self, site: Site, retrieval: Retrieval) -> Weather:
        """Temperatures up to and including the day asked about, checked and whole.

        Raises WeatherError where there is nothing up to that day or nothing can be had, GrowerError for what
        can't be read.
        """


@dataclass(frozen=True)
class SecondReadings:
    """A second source's daily extremes in a yard's terms, and what is to be told of it."""

    series: DailySeries | None = None  # None: it holds nothing up to the day
    notes: tuple[Noted, ...] = ()
    warnings: tuple[SecondTrouble, ...] = ()
    station: StationFacts | None = None


class SecondSource(Protocol):
    """A longer record from near by, which a yard's own short one is judged and mended by."""

    def read(self, site: Site, yard: DailySeries, retrieval: Retrieval) -> SecondReadings:
        """Its readings up to the day asked about; `yard` is the site's own record, cut at that day.

        Raises as reading a source does.
        """


class ForecastSource(Protocol):
    """Where the days ahead come from."""

    def read(self, site: Site, retrieval: Retrieval) -> ForecastDays:
        """The days ahead as they were forecast by the day asked about; never an error of a service.

        Raises GrowerError for a grower's file that can't be read.
        """

    def kept(self, site: Site, retrieval: Retrieval) -> tuple[Issue, ...]:
        """Every issue kept up to the day asked about, whatever its age; raises as `read` does."""
