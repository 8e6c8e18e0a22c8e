"""What the markers have in common that wait for a sum of heat or chill."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from season_engine.facts import HeatUnit
from season_engine.markers.base import CountedAfter, Marker
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import SumSoFar
from season_engine.measures.first_days import Days
from season_engine.measures.heat import growing_degree_days
from season_engine.tables.heat_units import Heat
from season_engine.traces import Traces

FloatArray = NDArray[np.float64]


class Summed(Marker):
    """A marker that comes once a sum is as much as its need."""

    def so_far(self, have: float, need: float) -> SumSoFar | None:
        """The sum so far, and the need."""
        if have >= need:  # by the catalogue's count; the grower's notes put it later
            return None
        return SumSoFar(have, need, self.measured_in)


class OfHeat(CountedAfter, Heat):
    """A marker that an amount of heat decides."""

    @property
    def measured_in(self) -> HeatUnit:
        """The heat it counts."""
        return self.unit

    def daily_heat(self, scene: Scene) -> FloatArray:
        """Degree days of each day, shape (..., traces, days)."""
        return degree_days(scene.traces, self.base_c, self.upper_c)


def degree_days(traces: Traces, base_c: float, upper_c: float | None = None) -> FloatArray:
    """Of each day, shape (..., traces, days)."""
    return traces.once(
        ("degree days", base_c, upper_c),
        lambda: growing_degree_days(traces.tmin_c, traces.tmax_c, base_c=base_c, upper_c=upper_c),
    )


def daily_forcing(traces: Traces, steepness_per_c: float, middle_c: float) -> Days:
    """Mean forcing of each day's hours, 0 to 1, shape (..., traces, days)."""
    return traces.once(
        ("forcing", steepness_per_c, middle_c), lambda: traces.forcing(steepness_per_c, middle_c)
    )


def chill_so_far(traces: Traces) -> FloatArray:
    """Chill portions since the season's start, shape (..., traces, days)."""
    return traces.once("chill so far", lambda: np.cumsum(traces.chill_portions, axis=-1))
