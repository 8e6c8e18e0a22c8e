"""Where temperatures and forecasts come from, and whom to name for them, in words."""

from __future__ import annotations

from season_engine.weather.sources.origins import (
    ForecastFileOrigin,
    ForecastOrigin,
    ForecastServiceOrigin,
    GivenOrigin,
    InventedOrigin,
    LoggerOrigin,
    Origin,
    SecondStationCredit,
    SourceFact,
    StationCredit,
    StationOrigin,
)
from season_engine.words.speech import said, say


def source_text(source: SourceFact | str) -> str:
    """The middle of a sentence: a source of readings, or whom to name for readings or a forecast."""
    if isinstance(source, Origin):
        return _origin(source)
    match source:
        case StationCredit():
            return _station_credit(source)
        case SecondStationCredit():
            return _second_credit(source)
        case ForecastFileOrigin():
            return forecast_source(source)
        case ForecastServiceOrigin(service, licence):
            return say(
                "forecast: {service}, licence {licence}, blended here with past years",
                service=service,
                licence=licence,
            )
        case str():
            return said(source)


def _origin(origin: Origin) -> str:
    match origin:
        case LoggerOrigin(file):
            return say("logger file {file}", file=file)
        case StationOrigin(station_id, station):
            return say("weather station {name} ({id})", name=station, id=station_id)
        case InventedOrigin():
            return say("invented weather (demo)")
        case GivenOrigin(name):
            return name


def forecast_source(source: ForecastOrigin) -> str:
    """Whose the forecast is, as inside a sentence about it."""
    match source:
        case ForecastFileOrigin(file):
            return say("forecast file {file}", file=file)
        case ForecastServiceOrigin(service):
            return service


def _station_credit(credit: StationCredit) -> str:
    named = {"attribution": credit.attribution, "licence": credit.licence}
    if credit.height_adjusted:
        return say("weather data: {attribution}, licence {licence}, adjusted here for height", **named)
    return say("weather data: {attribution}, licence {licence}", **named)


def _second_credit(credit: SecondStationCredit) -> str:
    return say(
        "second source: {station}, {km:.0f} km away, adjusted here to this yard; data: {attribution}, "
        "licence {licence}",
        station=source_text(credit.station),
        km=credit.distance_km,
        attribution=credit.attribution,
        licence=credit.licence,
    )
