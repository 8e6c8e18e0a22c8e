"""What a site's weather is read from, by what season.toml says; each source is loaded where it is named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from season_engine.facts import Units
from season_engine.workspace.settings import (
    DemoWeather,
    FileForecast,
    ForecastSettings,
    LoggerWeather,
    ServiceForecast,
    StationWeather,
    WeatherSettings,
)

if TYPE_CHECKING:
    from season_engine.weather.sources.logger_file import ReadingsFile
    from season_engine.weather.sources.source import ForecastSource, SecondSource, Source


def weather_source(settings: WeatherSettings, folder: Path, units: Units) -> Source:
    """What temperatures are read from; `folder` and `units` are the workspace's."""
    match settings:
        case LoggerWeather():
            from season_engine.weather.sources.logger_file import LoggerFile

            own, second = _file(settings.file, settings, folder, units), _second(settings, folder, units)
            return LoggerFile(own, second, settings.keep, settings.drop)
        case StationWeather():
            from season_engine.weather.sources.station import PublicStation

            return PublicStation(settings.station, settings.keep, settings.drop)
        case DemoWeather():
            from season_engine.weather.sources.invented import InventedWeather

            return InventedWeather(settings.climate)


def _second(settings: LoggerWeather, folder: Path, units: Units) -> SecondSource | None:
    if settings.reference_station is None and settings.reference is None:
        return None
    from season_engine.weather.sources.second_source import SecondFile, SecondStation

    if settings.reference_station is not None:
        return SecondStation(settings.reference_station)
    return SecondFile(_file(settings.reference or "", settings, folder, units, own=False))


def _file(
    name: str, settings: LoggerWeather, folder: Path, units: Units, *, own: bool = True
) -> ReadingsFile:
    """A file of readings; what is said of columns, sensor and clock is of the yard's `own` file alone."""
    from season_engine.weather.logger.how import ROLES, ReadAs
    from season_engine.weather.sources.logger_file import ReadingsFile

    how = ReadAs(units=settings.units, usual_units=units, date_format=settings.date_format)
    if own:
        given = {role: getattr(settings.columns, role) for role in ROLES}
        columns = {role: column for role, column in given.items() if column is not None}
        how = replace(how, columns=columns, sensor=settings.sensor, clock=settings.clock)
        how = replace(how, year=settings.year, tenths=settings.tenths, flags=settings.flags)
        how = replace(how, interval_hours=settings.interval_hours)
    return ReadingsFile(folder, name, how)


def forecast_source(settings: ForecastSettings | None, folder: Path, units: Units) -> ForecastSource | None:
    """Where the days ahead come from; None: nobody is asked."""
    match settings:
        case FileForecast():
            from season_engine.weather.sources.forecast import ForecastFile

            return ForecastFile(folder, settings.file, settings.units or units)
        case ServiceForecast():
            from season_engine.weather.sources.forecast import ForecastService

            return ForecastService(settings.contact)
        case None:
            return None
