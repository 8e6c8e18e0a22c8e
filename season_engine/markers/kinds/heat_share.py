"""A share of the heat of a place's usual year."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from season_engine.facts import HeatUnit
from season_engine.markers.base import CountedAfter
from season_engine.markers.progress import Progress, over_traces, since
from season_engine.markers.scene import Scene
from season_engine.markers.sums import Summed, degree_days


class HeatShare(Summed, CountedAfter):
    """Heat counted from another marker reaches a share of the site's mean annual heat."""

    kind: Literal["heat_share"]
    share: float = Field(gt=0, lt=1, description="{share:.0%} of the year")
    base_c: float = Field(ge=-5, le=20, description="{base_c:g} degC as the base of heat")

    @property
    def measured_in(self) -> HeatUnit:
        """The heat it counts."""
        return HeatUnit(self.base_c)

    def progress(self, scene: Scene) -> Progress:
        """Heat so far against the mean year, from the season's start on; this season has no part in it."""
        usual = scene.traces.usual or scene.traces
        year = slice(usual.season_start, usual.season_start + 365)
        of_year = degree_days(usual, self.base_c)[..., year].sum(axis=-1, keepdims=True)
        need = self.share * over_traces(usual.weights, of_year)[..., None]
        start = scene.dates[self.after]
        return Progress(since(start, degree_days(scene.traces, self.base_c)), need, start)
