"""What a marker is dated in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from season_engine.pot import Pot
from season_engine.traces import Traces

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Scene:
    """The traces, the markers dated before this one, and the pot the tree stands in.

    Before the traces any axes may lead.
    """

    traces: Traces
    dates: Mapping[str, FloatArray]  # columns of the markers already dated, shape (..., traces)
    pot: Pot

    @property
    def columns(self) -> NDArray[np.int64]:
        """Of each day, shape (days,)."""
        return np.arange(self.traces.tmin_c.shape[-1])

    @property
    def days_of_season(self) -> FloatArray:
        """Each day counted from the season's first, shape (days,)."""
        return self.columns.astype(np.float64) - self.traces.season_start

    def every_trace(self, daily: FloatArray) -> FloatArray:
        """Values of days alone, shape (..., days), as those of every trace: (..., traces, days)."""
        return np.broadcast_to(daily[..., None, :], self.traces.tmin_c.shape)

    def season_start(self) -> FloatArray:
        """Column of the season's first day in every trace, shape (..., traces)."""
        return self.every_date(float(self.traces.season_start))

    def every_date(self, column: float) -> FloatArray:
        """The same column for every trace, shape (..., traces)."""
        return np.full(self.traces.tmin_c.shape[:-1], column)
