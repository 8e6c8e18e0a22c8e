"""Whichever of several markers comes first."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce
from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from season_engine.markers.base import Marker
from season_engine.markers.progress import DaysSince
from season_engine.markers.scene import Scene

FloatArray = NDArray[np.float64]


class FirstOf(Marker):
    """The first of several markers, in each trace whichever comes first there."""

    kind: Literal["first_of"]
    markers: tuple[str, ...] = Field(min_length=2, description="Names of the markers.")

    measured_in: ClassVar[str] = "days"

    @property
    def depends_on(self) -> tuple[str, ...]:
        """All of them."""
        return self.markers

    @property
    def draws_on(self) -> tuple[str, ...]:
        """All of them."""
        return self.markers

    def progress(self, scene: Scene) -> DaysSince:
        """Days since the first of them, below nought before it."""
        return DaysSince(self._first(scene.dates), 0, scene.columns)

    def spread(
        self, plain: FloatArray, earlier: Mapping[str, FloatArray], error_days: FloatArray
    ) -> FloatArray:
        """The first of the others' draws; its own error comes on top."""
        return self._first(earlier) + error_days

    def _first(self, dates: Mapping[str, FloatArray]) -> FloatArray:
        return reduce(np.minimum, (dates[name] for name in self.markers))

    @property
    def numbers(self) -> tuple[str, ...]:
        """None of its own."""
        return ("the first to come",)
