"""A grower's own logger as a source: its file, with a second source beside it if the grower names one."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from season_engine.site import Site
from season_engine.weather.checks import Span, check_and_fill
from season_engine.weather.logger.cache import ReadDays, forget, read_logger_cached
from season_engine.weather.logger.far_apart import missed
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.pattern import paths_of
from season_engine.weather.record import known_by
from season_engine.weather.series import Weather
from season_engine.weather.sources.origins import LoggerOrigin
from season_engine.weather.sources.source import Retrieval, SecondReadings, SecondSource

if TYPE_CHECKING:
    from season_engine.weather.logger.reading import LoggerRecord


@dataclass(frozen=True, slots=True)
class ReadingsFile:
    """A file of readings, or several that one pattern names, and how they are to be read."""

    folder: Path
    file: str  # its name, or path from the folder, as the grower wrote it; or a pattern, "logger/*.csv"
    how: ReadAs = field(default_factory=ReadAs)

    def read(self, site: Site, retrieval: Retrieval, *, kept_as: str) -> ReadDays:
        """All of its daily extremes and how they were read, kept in the cache under a name.

        Raises as `reading.read_logger`.
        """
        if retrieval.refresh:
            forget(retrieval.cache, kept_as)
        return read_logger_cached(
            self.paths(), cache=retrieval.cache, kept_as=kept_as, how=self.how, site=site
        )

    def readings(self, site: Site) -> LoggerRecord:
        """All that it says, read anew: the readings within the day too; raises as `read`."""
        from season_engine.weather.logger.reading import read_record

        return read_record(self.paths(), self.how, site)

    def paths(self) -> list[Path]:
        """The files; raises WeatherError where none matches a pattern."""
        return paths_of(self.folder, self.file)


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
        read = self.readings.read(site, retrieval, kept_as=site.name)
        raw = known_by(read.daily, retrieval.on, site, origin)
        second = SecondReadings() if self.second is None else self.second.read(site, raw, retrieval)
        weather = check_and_fill(raw, source=origin, second=second.series, keep=self.keep, drop=self.drop)
        warnings = (*second.warnings, *weather.warnings)
        return replace(
            weather,
            notes=(*missed(read.form), *second.notes),
            warnings=warnings,
            second_station=second.station,
            form=read.form,
        )
