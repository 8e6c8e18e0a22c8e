"""A hazard as facts: what would hurt a tree, how likely it is after a job done today, what is forecast."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

HazardName = Literal["frost", "cold night", "root frost", "heat", "hot spell", "root heat", "short season"]


@dataclass(frozen=True, slots=True)
class ColdNight:
    """A night at the pots as cold as this [degC], or colder."""

    level_c: float


@dataclass(frozen=True, slots=True)
class ColdRoots:
    """The middle of the pot as cold as this [degC], or colder."""

    level_c: float


@dataclass(frozen=True, slots=True)
class HotRoots:
    """The middle of the pot as hot as this [degC], or hotter, on so many days running."""

    level_c: float
    run: int = 1


@dataclass(frozen=True, slots=True)
class HotDays:
    """So many days running as hot as this [degC], or hotter."""

    level_c: float
    run: int = 1


WeatherEvent = ColdNight | ColdRoots | HotDays | HotRoots


@dataclass(frozen=True, slots=True)
class ForecastExtreme:
    """The worst night or day of an event that a forecast holds: the night to this date, or the day."""

    on: dt.date
    value_c: float


@dataclass(frozen=True, slots=True)
class Hazard:
    """An event that would hurt the tree, and its chance within `days` of doing the job today."""

    name: HazardName
    chance: float
    days: int  # 0 for too little warmth
    event: WeatherEvent | None  # None: too little warmth is left for the tree to recover
    forecast: ForecastExtreme | None = None

    @property
    def forecast_on(self) -> dt.date | None:
        """The day on which it is forecast, where it is."""
        return self.forecast.on if self.forecast else None

    @property
    def of_roots(self) -> bool:
        """Whether it comes in the middle of the pot."""
        return isinstance(self.event, ColdRoots | HotRoots)

    @property
    def cold(self) -> bool:
        """Whether it is cold that hurts, which a tree under cover is spared."""
        return isinstance(self.event, ColdNight | ColdRoots)


def worth_telling(hazards: Sequence[Hazard]) -> tuple[Hazard, ...]:
    """Of several kinds of cold the likeliest alone, since cover helps against each; all others."""
    cold = [hazard for hazard in hazards if hazard.cold]
    likeliest = max(cold, key=lambda hazard: hazard.chance, default=None)
    return tuple(hazard for hazard in hazards if not hazard.cold or hazard is likeliest)
