"""Winter's chill."""

from __future__ import annotations

from typing import Literal

import numpy as np
from pydantic import Field

from season_engine.markers.progress import Progress
from season_engine.markers.scene import Scene
from season_engine.markers.sums import Summed, chill_so_far


class ChillMet(Summed):
    """Chill counted from the season's start reaches a need."""

    kind: Literal["chill_met"]
    need: float = Field(gt=0, le=200, title="{need:g} {unit}", description="How much.")
    unit: Literal["chill portions"] = Field(description="Of what.")

    @property
    def measured_in(self) -> str:
        """Chill portions."""
        return self.unit

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True

    def progress(self, scene: Scene) -> Progress:
        """Chill so far."""
        return Progress(chill_so_far(scene.traces), np.array(self.need), scene.season_start())
