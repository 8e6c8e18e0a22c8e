"""How far a marker is that is still to come: what was measured of it by the last day observed."""

from __future__ import annotations

from dataclasses import dataclass

from season_engine.facts import HeatUnit, Text, Unit


@dataclass(frozen=True, slots=True)
class SumSoFar:
    """A sum that grows until it is as much as the need."""

    have: float
    need: float
    unit: Unit


@dataclass(frozen=True, slots=True)
class HeatLeft:
    """Heat still to come, which falls to a mark."""

    left: float
    mark: float
    unit: HeatUnit


@dataclass(frozen=True, slots=True)
class DayLength:
    """How long the day is."""

    hours: float


@dataclass(frozen=True, slots=True)
class MeanSoFar:
    """The mean of the last days, of the air or in the middle of the pot."""

    mean_c: float
    days: int
    root_zone: bool


@dataclass(frozen=True, slots=True)
class WarmthSoFar:
    """How much of the warmth it wants is there."""

    percent: float


@dataclass(frozen=True, slots=True)
class NotBefore:
    """It would hold by now, but doesn't count before something else has come: words that follow "when"."""

    start: Text


SoFar = SumSoFar | HeatLeft | DayLength | MeanSoFar | WarmthSoFar | NotBefore
