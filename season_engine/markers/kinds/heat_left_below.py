"""The warmth that is left of a season."""

from __future__ import annotations

from typing import Literal

import numpy as np

from season_engine.markers.base import CountedUntil
from season_engine.markers.progress import Progress, still_to_come
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

    def progress(self, scene: Scene) -> Progress:
        """Heat still to come."""
        left = still_to_come(scene.dates[self.until], self.daily_heat(scene))
        return Progress(left, np.array(self.need), scene.dates[self.after], falling=True)

    def so_far(self, have: float, need: float) -> HeatLeft:
        """The heat still to come, and the mark."""
        return HeatLeft(have, need, self.unit)
