"""A growing site, its hemisphere, and the season a date belongs to."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

Hemisphere = Literal["north", "south"]


@dataclass(frozen=True, slots=True)
class Site:
    """A place with weather of its own. Latitude and longitude in degrees, north and east positive."""

    name: str
    latitude: float
    longitude: float
    elevation_m: float | None = None
    bench_frost_allowance_c: float = 0.0  # how much colder a clear night is at the pots than at the sensor
    pots_warmer_c: float = 0.0  # what sun on the pots adds to the mean of their root zone

    @property
    def hemisphere(self) -> Hemisphere:
        """South below the equator; the equator itself counts as north."""
        return "south" if self.latitude < 0 else "north"

    def season_on(self, on: dt.date) -> Season:
        """Return the season that `on` falls into at this site."""
        this_year = Season(on.year, self.hemisphere)
        return this_year if on >= this_year.start else this_year.shifted(-1)


@dataclass(frozen=True, slots=True)
class Season:
    """Twelve months from the day chill starts to count: 1 October north, 1 April south."""

    year: int
    hemisphere: Hemisphere

    @property
    def label(self) -> str:
        """The two years it is named by, such as ``2026/27``."""
        return f"{self.year}/{(self.year + 1) % 100:02d}"

    @property
    def start(self) -> dt.date:
        """First day of the season."""
        return dt.date(self.year, 10 if self.hemisphere == "north" else 4, 1)

    @property
    def first_trace_day(self) -> dt.date:
        """Three months before the start, so that the end of last summer's growth is seen."""
        return dt.date(self.year, 7 if self.hemisphere == "north" else 1, 1)

    @property
    def last_trace_day(self) -> dt.date:
        """Six months after the end, since candle work is timed from the next autumn."""
        if self.hemisphere == "north":
            return dt.date(self.year + 2, 3, 31)
        return dt.date(self.year + 1, 9, 30)

    def shifted(self, years: int) -> Season:
        """The season so many years later (or earlier, if negative)."""
        return Season(self.year + years, self.hemisphere)
