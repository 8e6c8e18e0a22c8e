"""Warmth of which a tree wants less the more chill it has had: need * exp(-softening * portions)."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from season_engine.markers.base import CountedAfter
from season_engine.markers.progress import SumSince
from season_engine.markers.scene import Scene
from season_engine.markers.sums import OfHeat, Summed, chill_so_far, daily_forcing
from season_engine.measures.first_days import Days
from season_engine.measures.soft_response import heat_needed_after_chill

SOFTENING = "{softening:g} a chill portion off its logarithm"


class HeatSoftenedByChill(Summed, OfHeat):
    """Heat since a marker reaches a need that falls as chill rises."""

    kind: Literal["heat_softened_by_chill"]
    softening: float = Field(
        gt=0, le=0.2, title=SOFTENING, description="What a chill portion takes off the need's logarithm."
    )

    def progress(self, scene: Scene) -> SumSince:
        """Heat so far."""
        return _softened(self, self.daily_heat(scene), scene)


class SoftenedForcing(Summed, CountedAfter):
    """Hourly forcing since a marker reaches a need that falls as chill rises.

    An hour counts from 0 in the cold to 1 in the warm, one half at `middle_c`; a day full of ones is one day.
    """

    kind: Literal["softened_forcing"]
    need: float = Field(gt=0, le=1000, title="{need:g} {unit}", description="How much, without chill.")
    unit: Literal["days of full warmth"] = Field(description="Of what.")
    steepness_per_c: float = Field(
        gt=0,
        le=5,
        title="{steepness_per_c:g} a degree around it",
        description="How sharply an hour's worth rises there, a degree.",
    )
    middle_c: float = Field(
        ge=-10,
        le=40,
        title="{middle_c:g} degC, where an hour counts half",
        description="Where an hour counts half.",
    )
    softening: float = Field(
        ge=0, le=0.2, title=SOFTENING, description="What a chill portion takes off the need's logarithm."
    )

    @property
    def measured_in(self) -> str:
        """Days of full warmth."""
        return self.unit

    def progress(self, scene: Scene) -> SumSince:
        """Forcing so far."""
        return _softened(self, daily_forcing(scene.traces, self.steepness_per_c, self.middle_c), scene)


def _softened(marker: HeatSoftenedByChill | SoftenedForcing, daily: Days, scene: Scene) -> SumSince:
    need = heat_needed_after_chill(chill_so_far(scene.traces), 0.0, marker.need, marker.softening)
    return SumSince(daily, need, scene.dates[marker.after])
