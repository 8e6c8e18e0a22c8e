"""What a grower is to mind or to know of a site's weather: facts, which `words` makes sentences of.

Stations are named in short, ``Q0002 (Kettle Bay, 33 km)``; a cause is what went wrong on the network.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.weather.sources.origins import Origin, StationOrigin

# To mind


@dataclass(frozen=True, slots=True)
class OldReadings:
    """The record ended some time ago."""

    site: str
    source: Origin
    last_day: dt.date
    days_ago: int


@dataclass(frozen=True, slots=True)
class SourceSilent:
    """The site's own source ended some time ago; the days since are the second source's."""

    site: str
    source: Origin
    last_day: dt.date
    days_ago: int
    better: tuple[str, ...] = ()  # stations to choose in its place, where it has long been silent


@dataclass(frozen=True, slots=True)
class TooFewCommonDays:
    """The second source shares too few days with the readings and isn't used."""

    fewest: int


@dataclass(frozen=True, slots=True)
class SecondNotFetched:
    """The second source could not be had; the yard's own years are enough to go on."""

    cause: str


@dataclass(frozen=True, slots=True)
class StationReplaced:
    """Another station is the best one by a newer directory of stations."""

    since: dt.date
    station: str
    before: str


@dataclass(frozen=True, slots=True)
class DirectoryNotFetched:
    """The older directory of stations is used."""

    cause: str


@dataclass(frozen=True, slots=True)
class YearsNotFetched:
    """Nothing could be had of some of a station's years; their days are missing."""

    station: str
    years: tuple[int, ...]
    cause: str


@dataclass(frozen=True, slots=True)
class OlderReadingsUsed:
    """Nothing new could be had of some of a station's years; what was fetched before is used."""

    station: str
    years: tuple[int, ...]
    cause: str
    fetched_on: dt.date
    days_ago: int


@dataclass(frozen=True, slots=True)
class DownloadsNotKept:
    """What is fetched can't be kept for the next time."""

    folder: str
    cause: str


@dataclass(frozen=True, slots=True)
class DownloadsDamaged:
    """What was kept of downloads is fetched anew."""

    file: str


@dataclass(frozen=True, slots=True)
class NoForecast:
    """There is no forecast issued by a day."""

    on: dt.date


@dataclass(frozen=True, slots=True)
class ForecastTooOld:
    """The last forecast was not used."""

    days: int


@dataclass(frozen=True, slots=True)
class ForecastNotFetched:
    """No forecast could be had; an older one that isn't used may be known."""

    cause: str
    last: ForecastTooOld | None = None


@dataclass(frozen=True, slots=True)
class OlderForecastUsed:
    """A newer forecast could not be had; the last one is used."""

    cause: str


ForecastTrouble = NoForecast | ForecastTooOld | ForecastNotFetched | OlderForecastUsed
DownloadTrouble = DownloadsNotKept | DownloadsDamaged
StationTrouble = StationReplaced | DirectoryNotFetched | YearsNotFetched | OlderReadingsUsed | DownloadTrouble
SecondTrouble = SecondNotFetched | StationTrouble
Warned = OldReadings | SourceSilent | TooFewCommonDays | SecondTrouble | ForecastTrouble

# To know


@dataclass(frozen=True, slots=True)
class YardFit:
    """How far a second source is from the yard; lowest and highest in this order, mean absolute [degC]."""

    days: int  # common ones
    apart_c: tuple[float, float]  # as it comes
    corrected_c: tuple[float, float] | None  # as a learnt correction leaves it; None: it does no better
    all_year: bool  # the common days are of all times of the year


@dataclass(frozen=True, slots=True)
class SecondFileFit:
    """A file of readings from near by stands in, and how well it does."""

    file: str
    fit: YardFit


@dataclass(frozen=True, slots=True)
class SecondStationFit:
    """A station stands in, and how well it does where that is known."""

    station: StationOrigin
    distance_km: float
    fit: YardFit | None


@dataclass(frozen=True, slots=True)
class DaysTaken:
    """So many days are taken from a second station."""

    station: StationOrigin
    distance_km: float
    days: int


@dataclass(frozen=True, slots=True)
class ReadingsApart:
    """Readings are some hours apart, so that the extremes between them are missed."""

    hours: int
    mean_c: float  # by how much each extreme comes out too mild on the mean [degC]
    one_in_twenty_c: float  # by how much or more on one day in twenty [degC]


Noted = SecondFileFit | SecondStationFit | DaysTaken | ReadingsApart
Notice = Warned | Noted
