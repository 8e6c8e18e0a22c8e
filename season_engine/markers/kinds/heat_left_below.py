"""The warmth that is left of a season."""

from __future__ import annotations

from typing import Literal

import numpy as np

from season_engine.markers.base import CountedUntil
from season_engine.markers.progress import SumLeft
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import HeatLeft
from season_engine.markers.sums import OfHeat


class HeatLeftBelow(CountedUntil, OfHeat):
    """The heat still to come before another marker falls below an amount."""

    kind: Literal["heat_left_below"]

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True

    def progress(self, scene: Scene) -> SumLeft:
        """Heat still to come."""
        until, start = scene.dates[self.until], scene.dates[self.after]
        return SumLeft(self.daily_heat(scene), until, np.array(self.need), start)

    def so_far(self, have: float, need: float) -> HeatLeft:
        """The heat still to come, and the mark."""
        return HeatLeft(have, need, self.unit)
