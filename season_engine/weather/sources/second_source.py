"""The second source of a yard's own logger: another file, or a public station."""

from __future__ import annotations

from dataclasses import dataclass

from season_engine.errors import NotFetchedError
from season_engine.site import Site
from season_engine.weather.notices import SecondFileFit, SecondNotFetched, SecondStationFit
from season_engine.weather.second.correction import as_this_yard
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.logger_file import ReadingsFile
from season_engine.weather.sources.source import Retrieval, SecondReadings
from season_engine.weather.station.choice import ENOUGH_YEARS
from season_engine.weather.station.readings import read_station

YEAR_DAYS = 365


@dataclass(frozen=True, slots=True)
class SecondFile:
    """A longer record from near by, in a file of the same form."""

    readings: ReadingsFile

    def read(self, site: Site, yard: DailySeries, retrieval: Retrieval) -> SecondReadings:
        """The record in the yard's terms."""
        record = self.readings.read(site, retrieval, kept_as=kept_name(site)).daily.cut(retrieval.on)
        if not len(record):
            return SecondReadings()
        series, fit = as_this_yard(record, yard, cache=retrieval.cache, site=site.name)
        return SecondReadings(series, () if fit is None else (SecondFileFit(self.readings.file, fit),))


@dataclass(frozen=True, slots=True)
class SecondStation:
    """A public station."""

    station: str  # its id, or "nearest"

    def read(self, site: Site, yard: DailySeries, retrieval: Retrieval) -> SecondReadings:
        """The station's record in the yard's terms; where it can't be had, a long enough own one will do."""
        try:
            readings = read_station(site, self.station, retrieval, key="reference_station")
        except NotFetchedError as failure:
            if len(yard) < ENOUGH_YEARS * YEAR_DAYS:
                raise
            return SecondReadings(warnings=(SecondNotFetched(failure.cause),))
        record, facts = readings.series.cut(retrieval.on), readings.facts
        if not len(record):
            return SecondReadings(warnings=readings.warnings)
        series, fit = as_this_yard(record, yard, cache=retrieval.cache, site=site.name)
        note = SecondStationFit(facts.origin, facts.distance_km, fit)
        return SecondReadings(series, (note,), readings.warnings, facts)


def kept_name(site: Site) -> str:
    """The name under which a site's second file is kept in the cache."""
    return f"{site.name} (reference)"
