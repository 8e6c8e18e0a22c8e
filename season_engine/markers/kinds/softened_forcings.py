"""The mean of several rules of softened forcing that fit the same dates about equally well.

Each rule's share of the way is averaged, and the marker comes once that mean is whole: near-equals err in
different years, so their mean errs less than most of them alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, Field

from season_engine.markers.base import CountedAfter, Figure
from season_engine.markers.progress import Progress, since
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import WarmthSoFar
from season_engine.markers.sums import chill_so_far, daily_forcing
from season_engine.measures.soft_response import heat_needed_after_chill

WHOLE = 100.0
MOST_NEED = 1000.0


class ForcingRule(BaseModel):
    """Hourly forcing from a day of the season on reaches a need that falls as chill rises."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    from_day: int = Field(ge=0, le=364, description="The day of the season it counts from.")
    steepness_per_c: float = Field(
        gt=0, le=5, description="How sharply an hour's worth rises there, a degree."
    )
    middle_c: float = Field(ge=-10, le=40, description="Where an hour counts half.")
    softening: float = Field(ge=0, le=0.2, description="What a chill portion takes off the need's logarithm.")
    need: float = Field(gt=0, le=MOST_NEED, description="Days of full warmth, without chill.")

    def __str__(self) -> str:
        return (
            f"from day {self.from_day} {self.need:g} days of full warmth, {self.steepness_per_c:g} a degree "
            f"around {self.middle_c:g} degC, {self.softening:g} a chill portion off its logarithm"
        )

    def share(self, start: NDArray[np.float64], scene: Scene) -> NDArray[np.float64]:
        """How much of its need is there by each day, shape (..., traces, days)."""
        traces = scene.traces
        counted_from = np.maximum(start, float(traces.season_start + self.from_day))
        forced = since(counted_from, daily_forcing(traces, self.steepness_per_c, self.middle_c))
        return forced / heat_needed_after_chill(chill_so_far(traces), 0.0, self.need, self.softening)


class SoftenedForcings(CountedAfter):
    """Several rules of softened forcing, by the mean of their shares of the way."""

    kind: Literal["softened_forcings"]
    rules: tuple[ForcingRule, ...] = Field(min_length=1, description="The rules that are averaged.")

    @property
    def measured_in(self) -> str:
        """Share of the way."""
        return "percent"

    @property
    def figures(self) -> Mapping[str, Figure]:
        """With the numbers of each rule."""
        return {**super().figures, "rules": self._rules}

    @property
    def numbers(self) -> tuple[str, ...]:
        """All of them, rule by rule."""
        return (f"mean of {len(self.rules)} rules: {self._rules}",)

    @property
    def _rules(self) -> str:
        return "; ".join(map(str, self.rules))

    def progress(self, scene: Scene) -> Progress:
        """Mean of the rules' shares."""
        start = scene.dates[self.after]
        shares = np.sum([rule.share(start, scene) for rule in self.rules], axis=0)
        return Progress(WHOLE / len(self.rules) * shares, np.array(WHOLE), start)

    def so_far(self, have: float, need: float) -> WarmthSoFar | None:
        """The share so far."""
        return WarmthSoFar(have) if have < need else None  # by the catalogue's count; notes may put it later
