"""What is to be told of a backtest beside its cases: what was left out, and which rules are not as usual."""

from __future__ import annotations

from dataclasses import dataclass

from season_engine.site import Season
from season_engine.verify.station_files import Event, Undated, UnlistedSites


@dataclass(frozen=True, slots=True)
class NoEvent:
    """A site is left out, as nothing was seen there."""

    site: str


@dataclass(frozen=True, slots=True)
class NoTemperatures:
    """A site is left out, as the weather's file has none of its days."""

    site: str


@dataclass(frozen=True, slots=True)
class UnusableTemperatures:
    """A site is left out, as its temperatures can't be mended; the reason is the error's."""

    site: str
    reason: str


@dataclass(frozen=True, slots=True)
class ShortRecord:
    """A site is left out, as it has temperatures of fewer years than that."""

    site: str
    fewest_years: int


@dataclass(frozen=True, slots=True)
class SeasonsWithGaps:
    """An event's dates at a site in these seasons are left out, as too many of their days lack readings."""

    site: str
    event: Event
    seasons: tuple[Season, ...]


@dataclass(frozen=True, slots=True)
class DatesTooFarApart:
    """An event is left out at a site: its dates lie on both sides of the season's start."""

    site: str
    event: Event


@dataclass(frozen=True, slots=True)
class NearestStage:
    """An event is dated by the catalogue's rule for a stage near by, the nearest it has."""

    event: Event
    bbch: int


@dataclass(frozen=True, slots=True)
class FittedHere:
    """A rule was fitted on an event's dates to a year."""

    event: Event
    seen_until: int | None  # year of the last dates that the catalogue's rule is fitted on; None: it has none
    train_until: int


@dataclass(frozen=True, slots=True)
class NoRule:
    """An event is left out: no rule may be used, and too few dates are there to fit one on."""

    event: Event
    seen_until: int | None  # as in `FittedHere`
    train_until: int
    fewest_dates: int


BacktestNote = (
    UnlistedSites
    | Undated
    | NoEvent
    | NoTemperatures
    | UnusableTemperatures
    | ShortRecord
    | SeasonsWithGaps
    | DatesTooFarApart
    | NearestStage
    | FittedHere
    | NoRule
)
