"""A day of the calendar, the same every season."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np
from pydantic import Field

from season_engine.markers.base import By, Marker
from season_engine.markers.progress import Progress
from season_engine.markers.scene import Scene


class SeasonDay(Marker):
    """A fixed day, counted from the season's first day (92 is midwinter's new year in either hemisphere)."""

    kind: Literal["season_day"]
    day: int = Field(ge=0, le=500, title="{day} days into the season", description="Days since its start.")

    measured_in: ClassVar[str] = "days"

    @property
    def decided_by(self) -> By | None:
        """The calendar."""
        return "calendar"

    def progress(self, scene: Scene) -> Progress:
        """Days of the season so far."""
        days = scene.every_trace(scene.days_of_season)
        return Progress(days, np.array(float(self.day)), scene.season_start())
