"""The warmth that is left of a season."""

from __future__ import annotations

from typing import Literal

import numpy as np

from season_engine.facts import Sum
from season_engine.markers.base import CountedUntil
from season_engine.markers.progress import Progress, still_to_come
from season_engine.markers.scene import Scene
from season_engine.markers.sums import OfHeat
from season_engine.messages import Message
from season_engine.tables.heat_units import unit_words


class HeatLeftBelow(CountedUntil, OfHeat):
    """The heat still to come before another marker falls below an amount."""

    kind: Literal["heat_left_below"]

    def progress(self, scene: Scene) -> Progress:
        """Heat still to come."""
        left = still_to_come(scene.dates[self.until], self.daily_heat(scene))
        return Progress(left, np.array(self.need), scene.dates[self.after], falling=True)

    def reason(self, have: float, need: float) -> Message:
        """The heat still to come, and the mark."""
        label, words, unit = self.label.capitalised(), unit_words(self.unit), self.unit
        left = Message("{label}: {have:.0f} {unit} still to come, {need:.0f} is the mark")
        return Message(left, label=label, have=Sum(have, unit), unit=words, need=Sum(need, unit))
