"""A longer record from near by, which a yard's own short one is judged and mended by."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from season_engine.site import Site
from season_engine.weather.cache import read_logger_cached
from season_engine.weather.series import DailySeries
from season_engine.weather.yard import as_this_yard
from season_engine.workspace.settings import LoggerWeather


def reference_name(site: Site) -> str:
    """The name under which a site's reference is kept in the cache."""
    return f"{site.name} (reference)"


def reference_series(
    site: Site,
    settings: LoggerWeather,
    yard: DailySeries,
    *,
    folder: Path,
    cache: Path,
    on: dt.date,
    units: str,
) -> tuple[DailySeries | None, tuple[str, ...]]:
    """The record of `reference` in the yard's terms, up to `on`, and how well these are known.

    None where the settings name none, or it holds nothing up to `on`. `yard` is the logger's own record, cut
    at `on`. Raises GrowerError and WeatherError as reading a logger's file does.
    """
    if settings.reference is None:
        return None, ()
    record = read_logger_cached(
        folder / settings.reference,
        cache=cache,
        site=reference_name(site),
        units=settings.units or units,
        date_format=settings.date_format,
        longitude_deg=site.longitude,
    ).cut(on)
    if not len(record):
        return None, ()
    series, text = as_this_yard(record, yard, cache=cache, site=site.name)
    return series, (f"reference {settings.reference}: {text}",) if text else ()
