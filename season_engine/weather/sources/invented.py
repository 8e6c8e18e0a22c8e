"""Invented weather as a source, for trying the engine without data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from season_engine.site import Site
from season_engine.weather.checks import check_and_fill
from season_engine.weather.invented.climates import climate_for
from season_engine.weather.invented.series import demo_series
from season_engine.weather.record import known_by
from season_engine.weather.series import Weather
from season_engine.weather.sources.origins import InventedOrigin
from season_engine.weather.sources.source import Retrieval


@dataclass(frozen=True, slots=True)
class InventedWeather:
    """The demo's weather."""

    climate: str | None = None  # None: the one of the site's hemisphere
    invented: ClassVar[bool] = True

    def read(self, site: Site, retrieval: Retrieval) -> Weather:
        """Thirty years of it up to the day asked about."""
        origin = InventedOrigin()
        raw = demo_series(climate_for(site, self.climate), retrieval.on)
        return check_and_fill(known_by(raw, retrieval.on, site, origin), source=origin, invented=True)
