"""The length of the day."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np
from pydantic import Field

from season_engine.markers.base import By, CountedAfter
from season_engine.markers.progress import Progress
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import DayLength


class _DayLength(CountedAfter):
    """The day is as long as so many hours."""

    hours: float = Field(
        gt=0, lt=24, title="{hours:g} hours of daylight", description="Sunrise to sunset, in hours."
    )

    measured_in: ClassVar[str] = "hours"

    @property
    def decided_by(self) -> By | None:
        """The length of a day is the same every year."""
        return "calendar"

    def so_far(self, have: float, need: float) -> DayLength:
        """How long it is."""
        return DayLength(have)


class DayLengthAbove(_DayLength):
    """The day is at least so many hours long."""

    kind: Literal["day_length_above"]

    def progress(self, scene: Scene) -> Progress:
        """Hours, as they rise."""
        hours = scene.every_trace(scene.traces.day_length_h)
        return Progress(hours, np.array(self.hours), scene.dates[self.after])


class DayLengthBelow(_DayLength):
    """The day is no longer than so many hours; where it never gets so short, the year's shortest day.

    Towards the tropics it never does: what the short day ends there, it ends with the shortest.
    """

    kind: Literal["day_length_below"]

    @property
    def looks_ahead(self) -> bool:
        """For the shortest day of the year."""
        return True

    def progress(self, scene: Scene) -> Progress:
        """Hours, as they fall."""
        hours = scene.every_trace(scene.traces.day_length_h)
        shortest = hours.min(axis=(-2, -1), keepdims=True)
        return Progress(hours, np.maximum(self.hours, shortest), scene.dates[self.after], falling=True)


class ShortestDayNear(CountedAfter):
    """The day is within so many minutes of the year's shortest."""

    kind: Literal["shortest_day_near"]
    minutes: float = Field(gt=0, le=120, title="{minutes:g} minutes", description="How near.")

    measured_in: ClassVar[str] = "hours"

    @property
    def looks_ahead(self) -> bool:
        """For the shortest day of the year."""
        return True

    def progress(self, scene: Scene) -> Progress:
        """Hours, as they fall."""
        hours = scene.every_trace(scene.traces.day_length_h)
        shortest = hours.min(axis=(-2, -1), keepdims=True)
        return Progress(hours, shortest + self.minutes / 60, scene.dates[self.after], falling=True)

    def so_far(self, have: float, need: float) -> DayLength:
        """How long it is."""
        return DayLength(have)
