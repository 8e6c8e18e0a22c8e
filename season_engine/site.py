"""A growing site, its hemisphere, and the season a date belongs to."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from season_engine.pot import COLOURS, SUN_SHARES, WALLS, Colour, Exposure, Pot

Hemisphere = Literal["north", "south"]

DEFAULT_SUN: Exposure = "half"

_LEAP_DAY = 59  # place of 29 February among the days of a leap year, from 0


@lru_cache(maxsize=4096)  # a report asks tens of thousands of times about some hundred days
def day_number(on: dt.date) -> int:
    """Days since the year 0 in a calendar without leap days; 29 February counts as the day before."""
    place = on.timetuple().tm_yday - 1
    leap = dt.date(on.year, 12, 31).timetuple().tm_yday == 366
    return 365 * on.year + (place - 1 if leap and place >= _LEAP_DAY else place)


@dataclass(frozen=True, slots=True)
class Site:
    """A place with weather of its own. Latitude and longitude in degrees, north and east positive."""

    name: str
    latitude: float
    longitude: float
    elevation_m: float | None = None
    bench_frost_allowance_c: float = 0.0  # how much colder a clear night is at the pots than at the sensor
    sun_on_pots: Exposure | None = None  # None: nobody said
    pot_colour: Colour | None = None  # None: nobody said, and unglazed ceramic is taken

    @property
    def hemisphere(self) -> Hemisphere:
        """South below the equator; the equator itself counts as north."""
        return "south" if self.latitude < 0 else "north"

    def standing(self, pot: Pot) -> Pot:
        """A pot of some width and depth, as pots stand here."""
        wall = COLOURS[self.pot_colour] if self.pot_colour else WALLS["unglazed ceramic"]
        return replace(pot, sun_share=SUN_SHARES[self.sun_on_pots or DEFAULT_SUN], wall=wall)

    def season_on(self, on: dt.date) -> Season:
        """Return the season that `on` falls into at this site."""
        this_year = Season(on.year, self.hemisphere)
        return this_year if on >= this_year.start else this_year.shifted(-1)

    def next_shortest_day(self, on: dt.date) -> dt.date:
        """The first shortest day of a year after a date."""
        return self._next("shortest_day", on)

    def next_season(self, on: dt.date) -> dt.date:
        """The first day of the season after that of a date."""
        return self.season_on(on).shifted(1).start

    def days_shorten(self, on: dt.date) -> bool:
        """Whether a date lies from the longest day of a year on, and before the shortest."""
        return self._next("shortest_day", on) < self._next("longest_day", on)

    def _next(self, turn: Literal["shortest_day", "longest_day"], on: dt.date) -> dt.date:
        seasons = [self.season_on(on).shifted(years) for years in range(3)]
        days = [one.shortest_day if turn == "shortest_day" else one.longest_day for one in seasons]
        return next(day for day in days if day > on)


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
    def shortest_day(self) -> dt.date:
        """Midwinter, to a day or so."""
        return dt.date(self.year, 12 if self.hemisphere == "north" else 6, 21)

    @property
    def longest_day(self) -> dt.date:
        """Midsummer, to a day or so."""
        north = self.hemisphere == "north"
        return dt.date(self.year + 1, 6, 21) if north else dt.date(self.year, 12, 21)

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

    def day_of(self, on: dt.date) -> int:
        """Days from the season's start to a date, 29 February left out; 0 is the first day."""
        return day_number(on) - day_number(self.start)

    def date_of(self, day: int) -> dt.date:
        """Date of a day of the season; the inverse of `day_of`, which may lie outside the season."""
        years, place = divmod(day_number(self.start) + day, 365)
        in_plain_year = dt.date(2001, 1, 1) + dt.timedelta(days=place)
        return in_plain_year.replace(year=years)

    def shifted(self, years: int) -> Season:
        """The season so many years later (or earlier, if negative)."""
        return Season(self.year + years, self.hemisphere)
