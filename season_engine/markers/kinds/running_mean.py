"""The mean of the last days, of the air or in the middle of the pot."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from season_engine.markers.base import CountedInTime
from season_engine.markers.progress import Progress
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import MeanSoFar
from season_engine.measures.first_days import NEVER, Days
from season_engine.measures.runs import mean_of_last
from season_engine.traces import Traces

DAYS_OF_YEAR = 365


class _RunningMean(CountedInTime):
    """The mean of so many days, ending with each."""

    level_c: float = Field(ge=-20, le=40, title="{level_c:g} degC", description="The mean's level.")
    days: int = Field(ge=1, le=60, title="{days} days together", description="Of how many days.")
    zone: Literal["air", "root"] = Field(default="air", description="Of the air, or the middle of the pot.")

    measured_in: ClassVar[str] = "degC"
    falling: ClassVar[bool] = False

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True

    def mean_c(self, scene: Scene) -> Days:
        """Of the last days, shape (..., traces, days)."""
        traces, pot = scene.traces, scene.pot if self.of_roots else None
        return traces.once(
            ("running mean", self.days, pot),
            lambda: (
                traces.root_zone_running_mean_c(pot, self.days)
                if pot
                else mean_of_last(self.days, traces.mean_c)
            ),
        )

    def progress(self, scene: Scene) -> Progress:
        """The mean of each day that counts."""
        mean_c = self.in_time(scene, self.mean_c(scene), np.nan)  # a comparison with NaN is false
        return Progress(mean_c, np.array(self.level_c), scene.dates[self.after], falling=self.falling)

    @property
    def of_roots(self) -> bool:
        """By its zone."""
        return self.zone == "root"

    def so_far(self, have: float, need: float) -> MeanSoFar:
        """The mean of the last days."""
        return MeanSoFar(have, self.days, root_zone=self.of_roots)

    @property
    def numbers(self) -> tuple[str, ...]:
        """The level and the days, and where, if not in the air."""
        return (*super().numbers, *(("in the root zone",) if self.zone == "root" else ()))


class MeanAbove(_RunningMean):
    """The mean of so many days rises to a level."""

    kind: Literal["mean_above"]


class MeanBelow(_RunningMean):
    """The mean of so many days falls to a level, be it only where winters are cold enough."""

    kind: Literal["mean_below"]
    winters_c: float | None = Field(
        default=None,
        ge=-20,
        le=20,
        description="It never comes where the middle winter's coldest such mean is above this.",
    )
    falling: ClassVar[bool] = True

    def progress(self, scene: Scene) -> Progress:
        """The mean of each day that counts, at a place that counts."""
        found = super().progress(scene)
        if self.winters_c is None:
            return found
        cold = self._middle_winter_c(scene.traces.usual or scene.traces, scene) <= self.winters_c
        return replace(found, start=np.where(cold[..., None], found.start, NEVER))

    def _middle_winter_c(self, usual: Traces, scene: Scene) -> NDArray[np.float64]:
        """The middle one of past seasons' coldest means, shape (...); this season has no part in it."""
        year = slice(usual.season_start, usual.season_start + DAYS_OF_YEAR)
        mean_c = np.asarray(self.mean_c(replace(scene, traces=usual)))[..., year]
        return np.asarray(np.median(np.nanmin(mean_c, axis=-1), axis=-1))

    @property
    def numbers(self) -> tuple[str, ...]:
        """The level and the days, and of which winters."""
        if self.winters_c is None:
            return super().numbers
        return (*super().numbers, f"where the middle winter has such a mean of {self.winters_c:g} degC")
