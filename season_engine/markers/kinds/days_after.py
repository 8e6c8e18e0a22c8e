"""So many days from another marker on, or back from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from season_engine.markers.base import By, CountedAfter
from season_engine.markers.progress import DaysSince
from season_engine.markers.scene import Scene

FloatArray = NDArray[np.float64]


class DaysAfter(CountedAfter):
    """So many days after (or, if negative, before) another marker."""

    kind: Literal["days_after"]
    days: int = Field(ge=-200, le=400, description="How many; with a minus, before it.")

    measured_in: ClassVar[str] = "days"

    def progress(self, scene: Scene) -> DaysSince:
        """Days since the other marker, below nought before it."""
        return DaysSince(scene.dates[self.after], self.days, scene.columns)

    @property
    def decided_by(self) -> By | None:
        """Nothing: what it is counted from decides."""
        return None

    @property
    def never_before(self) -> str | None:
        """None for days counted back."""
        return self.after if self.days >= 0 else None

    @property
    def counted_back(self) -> bool:
        """Where its days are negative."""
        return self.days < 0

    @property
    def draws_on(self) -> tuple[str, ...]:
        """The marker it is counted from."""
        return (self.after,)

    def spread(
        self, plain: FloatArray, earlier: Mapping[str, FloatArray], error_days: FloatArray
    ) -> FloatArray:
        """The other marker's draws, so many days on, and its own error; never before it where days are on."""
        dates = earlier[self.after] + self.days + error_days
        return dates if self.never_before is None else np.maximum(dates, earlier[self.after])

    @property
    def numbers(self) -> tuple[str, ...]:
        """The days, and whether they lie before or after."""
        return (f"{abs(self.days)} days {'before' if self.days < 0 else 'after'}",)
