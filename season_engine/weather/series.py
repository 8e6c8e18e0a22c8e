"""Daily extremes at one place, and the same made ready for use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from season_engine.weather.faults import Fault
from season_engine.weather.forecast.days import NOT_ASKED_FOR, ForecastDays
from season_engine.weather.notices import Noted, Warned
from season_engine.weather.sources.origins import Origin, SourceFact, StationFacts

if TYPE_CHECKING:
    import pandas as pd

    from season_engine.weather.logger.form import LoggerForm

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
class Weather:
    """A site's temperatures, whole from first to last reading, with what had to be mended."""

    series: DailySeries  # no NaN: gaps are filled
    observed: BoolArray  # shape (days,): both readings of the day were observed
    source: Origin  # where the readings come from
    invented: bool = False
    faults: tuple[Fault, ...] = ()
    warnings: tuple[Warned, ...] = ()
    station: StationFacts | None = None
    second_station: StationFacts | None = None  # the second source, where that is a public station
    adjusted: BoolArray | None = None  # shape (days,): from a second source, in yard terms; None: no day
    notes: tuple[Noted, ...] = ()  # worth telling, and no cause for worry
    form: LoggerForm | None = None  # how a logger's file was read; None: it is no logger's
    forecast: ForecastDays = NOT_ASKED_FOR  # of days after the readings; no part of the record
    # What it was up to an earlier day, checked and filled without the days after; None: not kept
    read_until: Callable[[dt.date], Weather] | None = field(default=None, repr=False, compare=False)

    def __repr__(self) -> str:
        days = f"{len(self.series)} days of {self.source.name}"
        return f"<{days}, {self.series.first_day} to {self.data_through}>"

    def as_of(self, on: dt.date) -> Weather:
        """The same as it could be read on a day: nothing after that has a part in what is mended or told.

        Raises WeatherError where there is nothing up to `on`.
        """
        return self if self.read_until is None else self.read_until(on)

    def to_frame(self) -> pd.DataFrame:
        """One row a day, none missing, as a pandas DataFrame.

        The index is a ``DatetimeIndex`` called ``date``. Columns: ``tmin_c`` and ``tmax_c`` [degC];
        ``observed``, whether both were read here and believed; ``filled``, whether one or both were made from
        the days around and what is usual. A day that is neither comes from a second source. ``attrs`` has
        ``units``, ``source`` and ``invented``.
        """
        import pandas as pd

        frame = pd.DataFrame(
            {
                "tmin_c": self.series.tmin_c,
                "tmax_c": self.series.tmax_c,
                "observed": self.observed,
                "filled": ~self.covered,
            },
            index=pd.DatetimeIndex(self.series.days, name="date", freq="D"),
        )
        units = {"tmin_c": "degC", "tmax_c": "degC"}
        frame.attrs.update(units=units, source=self.source.name, invented=self.invented)
        return frame

    @property
    def covered(self) -> BoolArray:
        """Days observed here or taken from a second source, shape (days,); the others are filled."""
        return self.observed if self.adjusted is None else np.logical_or(self.observed, self.adjusted)

    @property
    def sources(self) -> tuple[SourceFact, ...]:
        """Where the readings come from, and whom to name for them."""
        credit = () if self.station is None else (self.station.credit,)
        second = () if self.second_station is None else (self.second_station.credit_as_second,)
        used = self.forecast.source if self.forecast.status == "used" else None
        return (self.source, *credit, *second, *(() if used is None else (used,)))

    @property
    def data_through(self) -> dt.date:
        """Last day with readings, of this yard or of a second source."""
        return self.series.last_day

    @property
    def last_reading(self) -> dt.date:
        """Last day on which this yard's own readings are whole."""
        own = np.flatnonzero(self.observed)
        return self.series.first_day + dt.timedelta(days=int(own[-1])) if own.size else self.data_through
