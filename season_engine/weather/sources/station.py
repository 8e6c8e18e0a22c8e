"""A public weather station as a source, with the next best one where it has gaps."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import ClassVar

from season_engine.site import Site
from season_engine.weather.checks import Span, check_and_fill
from season_engine.weather.notices import DaysTaken
from season_engine.weather.quality.readings import runs
from season_engine.weather.record import known_by
from season_engine.weather.second.yard_terms import laid_on
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.source import Retrieval
from season_engine.weather.station.readings import StationReadings, read_station, second_station

LONGEST_OWN_GAP_DAYS = 5  # which a station's own days around fill as well as another station would
LATE_DAYS = 1  # today isn't over, so no station can have it


@dataclass(frozen=True, slots=True)
class PublicStation:
    """A public weather station."""

    station: str = "nearest"  # or its id
    keep: tuple[Span, ...] = ()  # days whose readings are right, whatever checks find
    drop: tuple[Span, ...] = ()  # days whose readings are wrong
    invented: ClassVar[bool] = False

    def read(self, site: Site, retrieval: Retrieval) -> Weather:
        """The station's readings at the site's height, another's where it has long gaps."""
        readings = read_station(site, self.station, retrieval)
        facts = readings.facts
        raw = known_by(readings.series, retrieval.on, site, facts.origin)
        weather = check_and_fill(raw, source=facts.origin, keep=self.keep, drop=self.drop)
        second = None
        if _leaves_much_open(weather, retrieval.on):
            second = second_station(site, retrieval, besides=facts.id)
        warnings = readings.warnings
        if second is not None:
            weather = self._bridged(raw, weather, second, retrieval.on)
            if not (readings.failed and second.failed):  # one warning for one outage
                warnings = tuple(dict.fromkeys((*warnings, *second.warnings)))
        return replace(weather, station=facts, warnings=(*warnings, *weather.warnings))

    def _bridged(self, raw: DailySeries, alone: Weather, second: StationReadings, on: dt.date) -> Weather:
        """The record with another station's where it has gaps; as it is `alone` where that adds nothing.

        The record still starts where its own readings do.
        """
        beside = laid_on(second.series, raw.first_day, (on - raw.first_day).days + 1)
        weather = check_and_fill(raw, source=alone.source, second=beside, keep=self.keep, drop=self.drop)
        taken = 0 if weather.adjusted is None else int(weather.adjusted.sum())
        if not taken:
            return alone
        facts = second.facts
        note = DaysTaken(facts.origin, facts.distance_km, taken)
        return replace(weather, notes=(note,), second_station=facts)


def _leaves_much_open(weather: Weather, on: dt.date) -> bool:
    """Whether there are gaps too long for the days around them, or the latest days are missing."""
    longest = max((last - first + 1 for first, last in runs(~weather.observed)), default=0)
    return longest > LONGEST_OWN_GAP_DAYS or (on - weather.data_through).days > LATE_DAYS
