"""What `weather --json` prints, and a report of each site's weather."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Annotated

from pydantic import Field, model_validator

from season_engine.documents import texts
from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Chance, Date, Minute, Number, NumberOrNone, Second, Size
from season_engine.facts import Units
from season_engine.site import Hemisphere, Site
from season_engine.weather import faults
from season_engine.weather.fitness import completeness_by_year
from season_engine.weather.forecast.days import MOST_LEAD_DAYS, STALE_DAYS, Status
from season_engine.weather.frost_dates import FEWEST_WINTERS, frost_season
from season_engine.weather.logger.form import LinesLeft, LoggerForm
from season_engine.weather.series import Weather
from season_engine.weather.shares import shares
from season_engine.windows.assessment import OwnNumber
from season_engine.words.forecast import forecast_sentence
from season_engine.words.speech import for_programs
from season_engine.words.weather_faults import fault_text

InventedWeather = Annotated[
    bool,
    Field(description="Whether its weather is invented, so that no tree may be worked by what is said."),
]


class Place(Document):
    """Name and position of a site."""

    name: str
    latitude: float = Field(ge=-90, le=90)
    longitude: float = Field(ge=-180, le=180)
    hemisphere: Hemisphere


class Fault(Document):
    """Something wrong with the readings, and what was done about it."""

    kind: str
    first_day: Date
    last_day: Date
    text: texts.FaultText

    @model_validator(mode="before")
    @classmethod
    def _in_words(cls, fault: faults.Fault) -> Facts:
        return Facts(fault, text=fault_text(fault))


class YearShare(Document):
    """The share of a year's days that were observed."""

    year: int
    observed_share: Chance


class Station(Document):
    """The public station that stands for a site."""

    id: str
    name: texts.StationName
    distance_km: Size
    height_difference_m: NumberOrNone
    correction_c: Number
    attribution: str
    licence: str
    fetched_at: Second
    missing_years: tuple[int, ...]
    others: tuple[texts.StationName, ...]


class ForecastDay(Document):
    """One day's extremes and how many days ahead they were issued."""

    date: Date
    tmin_c: Number
    tmax_c: Number
    lead_days: int = Field(ge=0, le=MOST_LEAD_DAYS)


class Forecast(Document):
    """What is forecast for a site."""

    status: Status
    text: texts.ForecastText
    source: texts.ForecastSource
    issued: Minute | None
    days: tuple[ForecastDay, ...] = Field(max_length=MOST_LEAD_DAYS + STALE_DAYS)


class SiteWeather(Document):
    """A site's temperatures, and what had to be mended."""

    source: texts.SourceText
    invented: bool
    data_through: Date
    first_day: Date
    observed_share: Chance
    adjusted_share: Chance
    filled_share: Chance
    faults: tuple[Fault, ...]
    warnings: texts.WarningTexts
    notes: tuple[texts.Notice, ...]
    completeness: tuple[YearShare, ...]
    station: Station | None
    second_station: Station | None
    forecast: Forecast


class FrostDates(Document):
    """Dates by which it has come, in the running winter; null where winters without frost decide.

    Its first is then later than any date, its last before any.
    """

    winters: int = Field(ge=FEWEST_WINTERS)
    share_with_frost: Chance
    p10: Date | None
    p50: Date | None
    p90: Date | None


class FrostSeason(Document):
    """First frosts of autumn and last ones of spring by past winters."""

    level_c: float = Field(description="Frost is this cold or colder at the sensor.")
    first: FrostDates
    last: FrostDates


class WeatherAtSite(Place):
    """A site and its weather."""

    weather: SiteWeather | None
    invented_weather: InventedWeather
    frost_dates: FrostSeason | None = Field(
        description="First frosts of autumn and last ones of spring by past winters; null where fewer than "
        "ten are known."
    )


class WeatherDocument(Document):
    """The temperatures of each site."""

    as_of: Date
    sites: tuple[WeatherAtSite, ...]


def weather_document(
    read: Iterable[tuple[Site, Weather | None]], as_of: dt.date, units: Units = "degC"
) -> WeatherDocument:
    """What ``weather --json`` prints: each site with its weather, null where there is none."""
    with for_programs(units):
        sites = [
            Facts(
                site,
                weather=weather_facts(weather, as_of),
                invented_weather=weather is not None and weather.invented,
                frost_dates=None if weather is None else frost_season(site, weather, as_of),
            )
            for site, weather in read
        ]
        return WeatherDocument.model_validate(Facts(as_of=as_of, sites=sites))


def _of_form(weather: Weather) -> tuple[LoggerForm | LinesLeft, ...]:
    """How a logger's file was read, and what in it is no reading."""
    return () if weather.form is None else (weather.form, *weather.form.left)


def weather_facts(
    weather: Weather | None, as_of: dt.date, own_numbers: Iterable[OwnNumber] = ()
) -> Facts | None:
    """What `SiteWeather` is read from; what the grower's own numbers do is told among its warnings."""
    if weather is None:
        return None
    parts, forecast = shares(weather), weather.forecast
    return Facts(
        weather,
        weather.series,
        warnings=(*weather.warnings, *own_numbers),
        notes=(*_of_form(weather), *weather.notes),
        observed_share=parts.observed,
        adjusted_share=parts.adjusted,
        filled_share=parts.filled,
        completeness=[
            Facts(year=year, observed_share=share) for year, share in completeness_by_year(weather).items()
        ],
        forecast=Facts(forecast, text=forecast_sentence(forecast, as_of), source=forecast.source),
    )
