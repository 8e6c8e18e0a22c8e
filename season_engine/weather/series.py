"""Daily extremes at one place, and the same made ready for use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from season_engine.messages import Message
from season_engine.weather.forecast_days import NOT_ASKED_FOR, ForecastDays

if TYPE_CHECKING:
    import pandas as pd

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

    kind: str  # "gap", "dropped", or that of the check that found it (quality.examine.CHECKS)
    first_day: dt.date
    last_day: dt.date
    text: str  # one plain sentence


@dataclass(frozen=True)
class StationFacts:
    """The public station that stands for a site, as it is told to the grower."""

    id: str
    name: str
    distance_km: float
    height_difference_m: float | None  # how much higher than the site; None where a height isn't known
    correction_c: float  # added to its temperatures for that height [degC]
    attribution: str  # whom to name
    licence: str
    fetched_at: dt.datetime  # when all that is due was last fetched
    missing_years: tuple[int, ...] = ()  # the service has no file for them: a fact, no failure
    others: tuple[str, ...] = ()  # stations that could stand in its place, the next best first

    @property
    def label(self) -> str:
        """What it is called in a sentence."""
        return Message("weather station {name} ({id})", name=self.name, id=self.id)

    @property
    def credit(self) -> str:
        """Whose data they are, on which terms, and that they were changed, as such terms ask."""
        named = {"attribution": self.attribution, "licence": self.licence}
        if self.correction_c:
            adjusted = Message("weather data: {attribution}, licence {licence}, adjusted here for height")
            return Message(adjusted, **named)
        return Message("weather data: {attribution}, licence {licence}", **named)

    @property
    def credit_as_second(self) -> str:
        """The same where its readings only stand in for others."""
        return Message(
            "second source: {station}, {km:.0f} km away, adjusted here to this yard; data: {attribution}, "
            "licence {licence}",
            station=self.label,
            km=self.distance_km,
            attribution=self.attribution,
            licence=self.licence,
        )


@dataclass(frozen=True)
class Weather:
    """A site's temperatures, whole from first to last reading, with what had to be mended."""

    series: DailySeries  # no NaN: gaps are filled
    observed: BoolArray  # shape (days,): both readings of the day were observed
    source: str  # where the readings come from, as printed
    invented: bool = False
    faults: tuple[Fault, ...] = ()
    warnings: tuple[str, ...] = field(default=())
    station: StationFacts | None = None
    second_station: StationFacts | None = None  # the second source, where that is a public station
    adjusted: BoolArray | None = None  # shape (days,): from a second source, in yard terms; None: no day
    notes: tuple[str, ...] = ()  # worth telling, and no cause for worry
    forecast: ForecastDays = NOT_ASKED_FOR  # of days after the readings; no part of the record
    # What it was up to an earlier day, checked and filled without the days after; None: not kept
    read_until: Callable[[dt.date], Weather] | None = field(default=None, repr=False, compare=False)

    def __repr__(self) -> str:
        return f"<{len(self.series)} days of {self.source}, {self.series.first_day} to {self.data_through}>"

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
        frame.attrs.update(units=units, source=str(self.source), invented=self.invented)
        return frame

    @property
    def covered(self) -> BoolArray:
        """Days observed here or taken from a second source, shape (days,); the others are filled."""
        return self.observed if self.adjusted is None else np.logical_or(self.observed, self.adjusted)

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the readings come from, and whom to name for them."""
        credit = () if self.station is None else (self.station.credit,)
        second = () if self.second_station is None else (self.second_station.credit_as_second,)
        forecast = (self.forecast.credit,) if self.forecast.status == "used" else ()
        return (self.source, *credit, *second, *forecast)

    @property
    def data_through(self) -> dt.date:
        """Last day with readings, of this yard or of a second source."""
        return self.series.last_day

    @property
    def last_reading(self) -> dt.date:
        """Last day on which this yard's own readings are whole."""
        own = np.flatnonzero(self.observed)
        return self.series.first_day + dt.timedelta(days=int(own[-1])) if own.size else self.data_through
