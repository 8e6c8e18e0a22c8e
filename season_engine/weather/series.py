"""Daily extremes at one place, and the same made ready for use."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True)
class DailySeries:
    """Consecutive days of lowest and highest air temperature [degC]; NaN where a reading is missing."""

    first_day: dt.date
    tmin_c: FloatArray  # shape (days,)
    tmax_c: FloatArray  # shape (days,)

    def __len__(self) -> int:
        return int(self.tmin_c.size)

    @property
    def last_day(self) -> dt.date:
        """Day of the last entry, whether or not it holds a reading."""
        return self.first_day + dt.timedelta(days=len(self) - 1)

    @property
    def days(self) -> NDArray[np.datetime64]:
        """Dates, shape (days,), as ``datetime64[D]``."""
        return np.datetime64(self.first_day, "D") + np.arange(len(self))

    def cut(self, on: dt.date) -> DailySeries:
        """Everything up to and including `on`; nothing after it is kept."""
        keep = max(0, min(len(self), (on - self.first_day).days + 1))
        return DailySeries(self.first_day, self.tmin_c[:keep], self.tmax_c[:keep])


@dataclass(frozen=True)
class Fault:
    """Something wrong with the readings, and what was done about it."""

    kind: str  # "gap", "stuck" or "spike"
    first_day: dt.date
    last_day: dt.date
    text: str  # one plain sentence


@dataclass(frozen=True)
class Weather:
    """A site's temperatures, whole from first to last reading, with what had to be mended."""

    series: DailySeries  # no NaN: gaps are filled
    observed: BoolArray  # shape (days,): both readings of the day were observed
    source: str  # where the readings come from, as printed
    invented: bool = False
    faults: tuple[Fault, ...] = ()
    warnings: tuple[str, ...] = field(default=())

    @property
    def data_through(self) -> dt.date:
        """Day of the last observed reading."""
        return self.series.last_day
