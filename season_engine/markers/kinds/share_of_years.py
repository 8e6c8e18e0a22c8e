"""Dates by the share of years with a cold night or a hot day; they are the same in every trace."""

from __future__ import annotations

from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from season_engine.markers.base import CountedAfter, CountedInTime, CountedUntil, Marker
from season_engine.markers.progress import Progress, over_traces
from season_engine.markers.scene import Scene

BoolArray = NDArray[np.bool_]
LEVEL, SHARE = "{level_c:g} degC", "{share:.0%} of years"


class _ColdNight(Marker):
    """A share of years with a night this cold at the pots."""

    level_c: float = Field(ge=-30, le=15, title=LEVEL, description="A night this cold or colder.")
    share: float = Field(gt=0, lt=1, title=SHARE, description="Of the years, from 0 to 1.")

    measured_in: ClassVar[str] = "share of years"

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True


class _HotDay(Marker):
    """A share of years with a day this hot."""

    level_c: float = Field(ge=20, le=50, title=LEVEL, description="A day this hot or hotter.")
    share: float = Field(gt=0, lt=1, title=SHARE, description="Of the years, from 0 to 1.")

    measured_in: ClassVar[str] = "share of years"

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True


class FirstFrost(_ColdNight, CountedInTime):
    """The date by which such a share of years has had a night this cold at the pots.

    With `until`, nights from that marker on don't count.
    """

    kind: Literal["first_frost"]

    def progress(self, scene: Scene) -> Progress:
        """Share of the years that have had one."""
        return _had(self, self.in_time(scene, _cold_at_the_pots(scene, self.level_c), False), scene)


class LastFrost(_ColdNight, CountedUntil):
    """The date after which no more than such a share of years still has a night this cold at the pots."""

    kind: Literal["last_frost"]

    def progress(self, scene: Scene) -> Progress:
        """Share of the years with one to come."""
        return _to_come(self, _cold_at_the_pots(scene, self.level_c), scene)


class HotDayOdds(_HotDay, CountedAfter):
    """The date by which such a share of years has had a day as hot as this."""

    kind: Literal["hot_day_odds"]

    def progress(self, scene: Scene) -> Progress:
        """Share of the years that have had one."""
        return _had(self, scene.traces.tmax_c >= self.level_c, scene)


class LastHotDay(_HotDay, CountedUntil):
    """The date after which no more than such a share of years still has a day as hot as this."""

    kind: Literal["last_hot_day"]

    def progress(self, scene: Scene) -> Progress:
        """Share of the years with one to come."""
        return _to_come(self, scene.traces.tmax_c >= self.level_c, scene)


def _cold_at_the_pots(scene: Scene, level_c: float) -> BoolArray:
    return scene.traces.tmin_c - scene.traces.bench_frost_allowance_c[..., None, None] <= level_c


def _had(marker: FirstFrost | HotDayOdds, harm: BoolArray, scene: Scene) -> Progress:
    start = scene.dates[marker.after]
    had_one = np.logical_or.accumulate(harm & (scene.columns >= start[..., None]), axis=-1)
    share = scene.every_trace(over_traces(scene.traces.weights, had_one))
    return Progress(share, np.array(marker.share), start)


def _to_come(marker: LastFrost | LastHotDay, harm: BoolArray, scene: Scene) -> Progress:
    """Years without any count as none."""
    counted = harm & (scene.columns < scene.dates[marker.until][..., None])
    to_come = np.logical_or.accumulate(counted[..., ::-1], axis=-1)[..., ::-1]
    share = scene.every_trace(over_traces(scene.traces.weights, to_come))
    return Progress(share, np.array(marker.share), scene.dates[marker.after], falling=True)
