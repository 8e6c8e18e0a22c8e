"""Nights of hard cold, counted."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np
from pydantic import Field

from season_engine.markers.base import CountedAfter
from season_engine.markers.progress import SumSince
from season_engine.markers.scene import Scene


class ColdNights(CountedAfter):
    """So many nights as cold as a level since a marker, in a row or not."""

    kind: Literal["cold_nights"]
    level_c: float = Field(ge=-30, le=15, title="{level_c:g} degC", description="This cold or colder.")
    nights: int = Field(ge=1, le=60, title="{nights} nights", description="How many.")

    measured_in: ClassVar[str] = "nights"

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True

    def progress(self, scene: Scene) -> SumSince:
        """Nights so far, in the air."""
        cold = (scene.traces.tmin_c <= self.level_c).astype(np.float64)
        return SumSince(cold, np.array(float(self.nights)), scene.dates[self.after])
