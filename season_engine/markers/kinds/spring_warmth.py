"""Spring's warmth as buds and young shoots count it, by the hour, the dearer the less chill they had.

Two ways of counting serve all species, so that a species has a single number of its own. Buds at rest count
hours above some 12 degC, and want half as much after 28 portions more of chill; shoots that have started
count warmer hours, and chill matters less to them. Both were chosen on dates growers give in six climates,
each left out in turn, and held against flowers of cherries at twelve stations (docs/evidence/buds.md). Chill
below 45 portions counts as that: no place looked at says how much more warmth less would take, so there
the error is wider.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from season_engine.markers.base import CountedAfter
from season_engine.markers.progress import SumSince
from season_engine.markers.scene import Scene
from season_engine.markers.sums import Summed, chill_so_far, daily_forcing
from season_engine.measures.soft_response import heat_needed_after_chill

FloatArray = NDArray[np.float64]

LEAST_CHILL_PORTIONS = 45.0
WITH_LITTLE_CHILL = 1.5  # of the usual error (from memory)
Counting = Literal["buds", "shoots"]


class Response(NamedTuple):
    """An hour counts from 0 in the cold to 1 in the warm; chill lessens the need."""

    steepness_per_c: float
    middle_c: float
    softening: float  # a chill portion, off the need's logarithm


RESPONSES: Mapping[Counting, Response] = {
    "buds": Response(0.6, 12, 0.025),
    "shoots": Response(0.3, 18, 0.015),
}


class SpringWarmth(Summed, CountedAfter):
    """Hours of warmth since a marker reach a need that falls as chill rises, in days full of warm hours."""

    kind: Literal["spring_warmth"]
    need: float = Field(
        gt=0,
        le=1000,
        title="{need:g} {unit}, before chill lessens it",
        description="How much, without chill.",
    )
    unit: Literal["days of full warmth"] = Field(description="Of what.")
    counted_as: Counting = Field(
        title="as {counted_as} count it", description="As buds at rest count it, or shoots that have started."
    )

    @property
    def measured_in(self) -> str:
        """Days of full warmth."""
        return self.unit

    def progress(self, scene: Scene) -> SumSince:
        """Warmth so far."""
        response = RESPONSES[self.counted_as]
        warmth = daily_forcing(scene.traces, response.steepness_per_c, response.middle_c)
        chill = np.maximum(chill_so_far(scene.traces), LEAST_CHILL_PORTIONS)
        need = heat_needed_after_chill(chill, 0.0, self.need, response.softening)
        return SumSince(warmth, need, scene.dates[self.after])

    def straying(self, scene: Scene, dates: FloatArray) -> FloatArray:
        """Wider where chill has stayed below what any place looked at had."""
        chill = chill_so_far(scene.traces)
        on = np.clip(dates, 0, chill.shape[-1] - 1).astype(np.intp)
        little = np.take_along_axis(chill, on[..., None], axis=-1)[..., 0] < LEAST_CHILL_PORTIONS
        return np.where(little, WITH_LITTLE_CHILL, 1.0)
