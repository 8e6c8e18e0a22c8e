"""A folder with a logger's CSV file for each site, named by it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from season_engine.batch.sources.source import Readings, file_system, stamps_of
from season_engine.errors import GrowerError, WeatherError
from season_engine.site import Site
from season_engine.weather.logger.reading import record_of
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import LoggerOrigin


@dataclass(frozen=True, slots=True)
class LoggerFiles:
    """Files such as ``ridge.csv``, each read as the logger's file of a workspace is."""

    folder: str  # a path, or an address

    def read(self, sites: Sequence[Site]) -> Iterator[Readings]:
        """Each site's readings, in order."""
        for site in sites:
            origin = LoggerOrigin(f"{site.name}.csv")
            try:
                yield Readings(origin, self._series(site, origin.file))
            except GrowerError as error:
                yield Readings(origin, error)

    def files(self) -> Mapping[str, str]:
        """The CSV files."""
        system, folder = file_system(self.folder)
        return {name: stamp for name, stamp in stamps_of(system, folder).items() if name.endswith(".csv")}

    def _series(self, site: Site, name: str) -> DailySeries:
        system, folder = file_system(self.folder)
        path = f"{folder.rstrip('/')}/{name}"
        try:
            content: bytes = system.cat_file(path)
        except FileNotFoundError:
            raise WeatherError("this logger file does not exist.", file=path) from None
        return record_of([(path, content)], site=site).daily
