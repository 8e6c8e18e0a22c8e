"""A logger's file looked at before a workspace is written for it."""

from __future__ import annotations

from pathlib import Path

from season_engine.site import Site
from season_engine.weather.series import DailySeries


def check_readings(file: Path, site: Site) -> DailySeries:
    """Its daily extremes; raises GrowerError for what is wrong with it, the other hemisphere's year too."""
    from season_engine.weather.hemisphere import refuse_other_hemisphere_of
    from season_engine.weather.logger.reading import read_logger

    series = read_logger(file, longitude_deg=site.longitude)
    refuse_other_hemisphere_of(series, site, f"logger file {file.name}", "--latitude")
    return series
