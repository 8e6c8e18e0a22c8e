"""A share of the heat of a place's usual year, past or still to come."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from season_engine.facts import HeatUnit
from season_engine.markers.base import CountedAfter, CountedUntil
from season_engine.markers.progress import SumLeft, SumSince, over_traces
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import HeatLeft
from season_engine.markers.sums import Summed, degree_days


class _OfUsualYear(CountedAfter):
    """A marker that waits for a share of the site's mean annual heat."""

    share: float = Field(gt=0, lt=1, title="{share:.0%} of the year", description="From 0 to 1.")
    base_c: float = Field(
        ge=-5, le=20, title="{base_c:g} degC as the base of heat", description="What heat is counted above."
    )

    @property
    def measured_in(self) -> HeatUnit:
        """The heat it counts."""
        return HeatUnit(self.base_c)

    def _amount(self, scene: Scene) -> NDArray[np.float64]:
        """Its share of the mean year's heat, from the season's start on; this season has no part in it."""
        usual = scene.traces.usual or scene.traces
        year = slice(usual.season_start, usual.season_start + 365)
        of_year = degree_days(usual, self.base_c)[..., year].sum(axis=-1, keepdims=True)
        return self.share * over_traces(usual.weights, of_year)[..., None]


class HeatShare(Summed, _OfUsualYear):
    """Heat counted from another marker reaches a share of the site's mean annual heat."""

    kind: Literal["heat_share"]

    def progress(self, scene: Scene) -> SumSince:
        """Heat so far."""
        daily = degree_days(scene.traces, self.base_c)
        return SumSince(daily, self._amount(scene), scene.dates[self.after])


class HeatShareLeft(CountedUntil, _OfUsualYear):
    """The heat still to come before another marker falls to a share of the site's mean annual heat."""

    kind: Literal["heat_share_left"]

    @property
    def of_weather(self) -> bool:
        """It is."""
        return True

    def progress(self, scene: Scene) -> SumLeft:
        """Heat still to come."""
        until, start = scene.dates[self.until], scene.dates[self.after]
        return SumLeft(degree_days(scene.traces, self.base_c), until, self._amount(scene), start)

    def so_far(self, have: float, need: float) -> HeatLeft:
        """The heat still to come, and the mark."""
        return HeatLeft(have, need, self.measured_in)
