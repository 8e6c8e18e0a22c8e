"""Degree days from another marker on."""

from __future__ import annotations

from typing import Literal

import numpy as np

from season_engine.markers.progress import SumSince
from season_engine.markers.scene import Scene
from season_engine.markers.sums import OfHeat, Summed


class HeatAfter(Summed, OfHeat):
    """Heat counted from another marker reaches a need."""

    kind: Literal["heat_after"]

    def progress(self, scene: Scene) -> SumSince:
        """Heat so far."""
        return SumSince(self.daily_heat(scene), np.array(self.need), scene.dates[self.after])
