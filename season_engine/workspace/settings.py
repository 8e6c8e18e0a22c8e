"""What season.toml may hold: sites and their weather, where reports go, whom to follow."""

from __future__ import annotations

import datetime as dt
import re
import zoneinfo
from typing import Annotated, Literal, Self

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    model_validator,
)

from season_engine.facts import Units
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR
from season_engine.files.text import did_you_mean, listed, shortened
from season_engine.files.toml_faults import wrong
from season_engine.locale import ENGLISH, languages
from season_engine.pot import Colour
from season_engine.species.jobs import JOBS
from season_engine.workspace.logger_settings import Flag, LoggerColumns, known_clock
from season_engine.workspace.mail_settings import DeliverySettings, EmailSettings
from season_engine.workspace.setting_values import Line, SiteName, Table, some

Climate = Literal["cool-inland-north", "mild-maritime-south"]


def _known_timezone(name: str) -> str:
    try:
        zoneinfo.ZoneInfo(name)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        if zoneinfo.available_timezones():  # a bare system may hold no time zones to check against
            raise wrong(
                f'"{shortened(name)}" is no known {{key}}; write one like "Etc/UTC", or leave it out'
            ) from None
    return name


def _date_format(pattern: str) -> str:
    """A strptime pattern that brings a whole date back."""
    day = dt.datetime(2001, 11, 22)
    try:
        whole = dt.datetime.strptime(day.strftime(pattern), pattern).date() == day.date()
    except (ValueError, re.error):
        whole = False
    if not whole:
        raise wrong('{key} must name day, month and year, such as "%d/%m/%Y" for 22/11/2001')
    return pattern


def _span(value: object) -> tuple[dt.date, dt.date]:
    """One day or a run of days, first and last."""
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value, value
    if isinstance(value, tuple):  # read before
        return value
    first, run, last = value.partition("/") if isinstance(value, str) else ("", "", "")
    try:
        span = dt.date.fromisoformat(first.strip()), dt.date.fromisoformat((last if run else first).strip())
    except ValueError:
        shown = shortened(str(value))
        raise wrong(
            f'{{key}} must hold days such as "2021-03-04" or "2022-05-01/2022-05-09"; got "{shown}"'
        ) from None
    if span[1] < span[0]:
        raise wrong(f'"{shortened(str(value))}" under {{key}} ends before it begins')
    return span


Days = Annotated[tuple[dt.date, dt.date], BeforeValidator(_span)]  # first and last


class ReadWeather(Table):
    """Readings, and what the grower says about what checks find in them."""

    keep: Annotated[tuple[Days, ...], Field(strict=False)] = Field(
        default=(), description='Days that checks flag, but that are right; "2022-05-01/2022-05-09" is a run.'
    )
    drop: Annotated[tuple[Days, ...], Field(strict=False)] = Field(
        default=(), description="Days that checks don't flag, but that are wrong; written alike."
    )

    @model_validator(mode="after")
    def _one_or_the_other(self) -> Self:
        for place, (first, last) in enumerate(self.drop):
            for kept_first, kept_last in self.keep:
                if first <= kept_last and kept_first <= last:
                    day = max(first, kept_first).isoformat()
                    raise wrong(f"{day} is among the days to keep and among those to drop", ("drop", place))
        return self


class LoggerWeather(ReadWeather):
    """The grower's own readings, in a file that lies in (or is named from) the workspace folder."""

    source: Literal["logger"] = Field(description="Your own readings.")
    file: Line = Field(
        description="The logger's file as it comes, named from the workspace's folder; "
        'or a pattern, "logger/*.csv", whose files are one record.'
    )
    reference: Line | None = Field(
        default=None, description="A longer record from near by, in a file of the same form."
    )
    reference_station: Line | None = Field(
        default=None, description='The same from a public station: its id, or "nearest".'
    )
    units: Units | None = Field(default=None, description="Of this file; without it those at the top.")
    date_format: Annotated[Line, AfterValidator(_date_format)] | None = Field(
        default=None,
        description='How its days are written, such as "%d/%m/%Y"; without it that is recognised.',
    )
    columns: LoggerColumns = Field(
        default=LoggerColumns(),
        description="Which columns are read, by header or number from 1, where the file doesn't say so.",
    )
    sensor: Line | None = Field(
        default=None, description="Which of several sensors; without it the one that is clearly outdoors."
    )
    clock: Annotated[Line, AfterValidator(known_clock)] | None = Field(
        default=None, description='The zone of its times, such as "UTC+2"; without it the yard\'s own clock.'
    )
    year: int | None = Field(
        default=None,
        ge=FIRST_YEAR,
        le=LAST_YEAR,
        description="The year in which it begins, where neither its lines nor its name say it.",
    )
    tenths: bool | None = Field(
        default=None,
        description="Whether its temperatures are tenths of a degree; without it as the file says.",
    )
    flags: Annotated[tuple[Flag, ...], Field(strict=False), AfterValidator(some)] | None = Field(
        default=None,
        description='The marks that good readings bear, where some are marked as bad, such as "0" or "".',
    )
    interval_hours: int = Field(
        default=1,
        ge=1,
        le=3,
        description="The most hours that its readings may be apart: 2 or 3 where there are no others, as in "
        "archives of weather services. The days' extremes then come out too mild.",
    )

    @model_validator(mode="after")
    def _one_reference(self) -> Self:
        if self.reference is not None and self.reference_station is not None:
            raise wrong("give reference or reference_station, not both", ("reference_station",))
        return self


class StationWeather(ReadWeather):
    """A public weather station: its id, or "nearest"."""

    source: Literal["station"] = Field(description="A public weather station.")
    station: Line = Field(description='Its id, or "nearest".')


class DemoWeather(Table):
    """Invented weather; no `climate` means the one of the site's hemisphere."""

    source: Literal["demo"] = Field(description="Invented weather: no tree may be worked by it.")
    climate: Climate | None = Field(default=None, description="Without it that of the site's hemisphere.")


WeatherSettings = Annotated[LoggerWeather | StationWeather | DemoWeather, Field(discriminator="source")]


def _sendable(text: str) -> str:
    if not text.isascii():
        raise wrong("{key} must be in plain letters, such as a mail address or the address of a web page")
    return text


class ServiceForecast(Table):
    """A national weather service's forecast for the place; its terms ask how to reach whoever asks."""

    source: Literal["service"] = Field(description="MET Norway's forecast.")
    contact: Annotated[Line, AfterValidator(_sendable)] = Field(
        description="Who asks, as its terms want: a mail address or a web page."
    )


class FileForecast(Table):
    """The grower's own log of forecasts, in a file that lies in (or is named from) the workspace folder."""

    source: Literal["file"] = Field(description="Your own log of forecasts.")
    file: Line = Field(description="A CSV file of issued,date,tmin,tmax, named from the workspace's folder.")
    units: Units | None = Field(default=None, description="Of this file; without it those at the top.")


ForecastSettings = Annotated[ServiceForecast | FileForecast, Field(discriminator="source")]


class SiteSettings(Table):
    """One growing site. Degrees north and east are positive; elevation in metres."""

    name: SiteName = Field(description="What you call it.")
    latitude: float = Field(ge=-90, le=90, description="Degrees; south of the equator with a minus.")
    longitude: float = Field(ge=-180, le=180, description="Degrees; west of Greenwich with a minus.")
    elevation_m: float | None = Field(default=None, ge=-430, le=9000, description="Metres above the sea.")
    timezone: Annotated[Line, AfterValidator(_known_timezone)] | None = Field(
        default=None, description='Such as "Etc/UTC", for sunrise and sunset in the report.'
    )
    bench_frost_allowance_c: float = Field(
        default=0.0, ge=0, le=8, description="How much colder, in °C, a clear night is at your pots."
    )
    sun_on_pots: Literal["full", "half", "none"] | None = Field(
        default=None, description="How long the sun is on the pots, which warms the roots; without it half."
    )
    pot_colour: Colour | None = Field(
        default=None, description="Dark pots get hotter; without it something between."
    )
    weather: WeatherSettings = Field(description="Where its temperatures come from.")
    forecast: ForecastSettings | None = Field(
        default=None, description="The days ahead; without it nobody is asked."
    )

    @model_validator(mode="after")
    def _real_weather_only(self) -> Self:
        if self.forecast is not None and isinstance(self.weather, DemoWeather):
            raise wrong("invented weather has no forecast; take [site.forecast] out", ("forecast",))
        return self


def _known_language(name: str) -> str:
    if name not in languages():
        meant = did_you_mean(name, languages())
        known = listed(languages(), "and")
        raise wrong(
            f'there is no {{key}} "{shortened(name)}"; {meant or f"the languages are {known}"}'.rstrip(".")
        )
    return name


class ReportSettings(Table):
    """Where reports go, a folder named from the workspace folder, and in which language."""

    out: Line = Field(default="reports", description="The folder the weekly reports go to.")
    language: Annotated[Line, AfterValidator(_known_language)] = Field(
        default=ENGLISH, description='Of page, text, mail and calendar: "en" or "de".'
    )


class SchoolSettings(Table):
    """Where growers disagree over a job: the school this one follows, for a group or a species."""

    group: Line | None = Field(default=None, description="The group of trees; or else species.")
    species: Line | None = Field(default=None, description="The species; or else group.")
    job: Line = Field(description="The job that growers disagree over.")
    take: Line = Field(description="The name of the school you follow.")

    @model_validator(mode="after")
    def _whose_and_which_job(self) -> Self:
        if (self.group is None) == (self.species is None):
            raise wrong("say whose school it is: a group or a species, one of the two")
        if self.job not in JOBS:
            hint = did_you_mean(self.job, JOBS) or f"the jobs are {', '.join(JOBS)}"
            raise wrong(f'there is no job "{shortened(self.job)}"; {hint.rstrip(".")}', ("job",))
        return self


class Settings(Table):
    """The whole of season.toml."""

    units: Units = Field(default="degC", description="Of readings, and of all that is told.")
    site: Annotated[tuple[SiteSettings, ...], Field(strict=False), AfterValidator(some)] = Field(
        description="Your yards, one or more."
    )
    email: EmailSettings | None = Field(default=None, description="The account that mail goes out by.")
    delivery: DeliverySettings | None = Field(default=None, description="A copy of each week's report.")
    report: ReportSettings = Field(default=ReportSettings(), description="Where it goes, in which language.")
    catalogue: Annotated[tuple[Line, ...], Field(strict=False)] = Field(
        default=(), description="Files of species of your own; without it catalogue.toml, if there is one."
    )
    school: Annotated[tuple[SchoolSettings, ...], Field(strict=False)] = Field(
        default=(), description="Where growers disagree: whom you follow."
    )

    @model_validator(mode="after")
    def _names_differ(self) -> Settings:
        seen: dict[str, int] = {}
        for index, site in enumerate(self.site):
            first = seen.setdefault(site.name.casefold(), index)
            if first != index:
                raise wrong(f'site name "{site.name}" is used twice', ("site", index, "name"))
        return self

    @model_validator(mode="after")
    def _each_school_once(self) -> Settings:
        seen = set()
        for index, one in enumerate(self.school):
            chosen = (one.group or "").casefold(), (one.species or "").casefold(), one.job
            if chosen in seen:
                raise wrong(f"a school of {one.job} is chosen twice for the same trees", ("school", index))
            seen.add(chosen)
        return self

    @model_validator(mode="after")
    def _recipients_name_sites(self) -> Settings:
        names = [site.name for site in self.site]
        known = {name.casefold() for name in names}
        for index, recipient in enumerate(self.email.recipient if self.email else ()):
            for place, name in enumerate(recipient.sites):
                if name.casefold() not in known:
                    text = f'there is no site "{shortened(name)}"; the sites are {listed(names, "and")}'
                    raise wrong(text, ("email", "recipient", index, "sites", place))
        return self
