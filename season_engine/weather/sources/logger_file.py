"""A grower's own logger as a source: its file, with a second source beside it if the grower names one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import ClassVar

from season_engine.site import Site
from season_engine.weather.checks import Span, check_and_fill
from season_engine.weather.logger.cache import forget, read_logger_cached
from season_engine.weather.record import known_by
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import LoggerOrigin
from season_engine.weather.sources.source import Retrieval, SecondReadings, SecondSource


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """A file of readings and how it is to be read."""

    folder: Path
    file: str  # its name, or path from the folder, as the grower wrote it
    units: str = "degC"  # or "degF"
    date_format: str | None = None  # a `strptime` format; None: recognised

    def read(self, site: Site, retrieval: Retrieval, *, kept_as: str) -> DailySeries:
        """All of its daily extremes, kept in the cache under a name; raises as `reading.read_logger`."""
        if retrieval.refresh:
            forget(retrieval.cache, kept_as)
        return read_logger_cached(
            self.folder / self.file,
            cache=retrieval.cache,
            site=kept_as,
            units=self.units,
            date_format=self.date_format,
            longitude_deg=site.longitude,
        )


@dataclass(frozen=True, slots=True)
class LoggerFile:
    """The grower's own readings."""

    readings: ReadingsFile
    second: SecondSource | None = None
    keep: tuple[Span, ...] = ()  # days whose readings are right, whatever checks find
    drop: tuple[Span, ...] = ()  # days whose readings are wrong
    invented: ClassVar[bool] = False

    def read(self, site: Site, retrieval: Retrieval) -> Weather:
        """The file's readings, mended and made longer by the second source."""
        origin = LoggerOrigin(self.readings.file)
        raw = self.readings.read(site, retrieval, kept_as=site.name)
        raw = known_by(raw, retrieval.on, site, origin)
        second = SecondReadings() if self.second is None else self.second.read(site, raw, retrieval)
        weather = check_and_fill(raw, source=origin, second=second.series, keep=self.keep, drop=self.drop)
        warnings = (*second.warnings, *weather.warnings)
        return replace(weather, notes=second.notes, warnings=warnings, second_station=second.station)
