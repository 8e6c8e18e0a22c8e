"""What season.toml may hold: sites and their weather, the mail account, where reports go."""

from __future__ import annotations

import datetime as dt
import ipaddress
import re
import zoneinfo
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    ValidationInfo,
    field_validator,
    model_validator,
)

from season_engine.facts import Units
from season_engine.files.text import did_you_mean, listed, shortened
from season_engine.files.toml_faults import wrong
from season_engine.locale import ENGLISH, languages
from season_engine.pot import Colour
from season_engine.species.jobs import JOBS
from season_engine.workspace.logger_settings import LoggerColumns, known_clock
from season_engine.workspace.toml_table import Line, Table, one_line

Climate = Literal["cool-inland-north", "mild-maritime-south"]

ADDRESS = re.compile(r"[^@\s<>,;:\"()]+@[^@\s<>,;:\"()]+")


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


def _address(text: str) -> str:
    if not text.isascii():
        raise wrong(f'{{key}} "{shortened(text)}" must be in plain letters; write its domain as xn--...')
    if not ADDRESS.fullmatch(text):
        raise wrong(
            f'{{key}} must hold plain mail addresses such as "grower@example.org"; got "{shortened(text)}"'
        )
    return text


def _some(items: tuple[Any, ...]) -> tuple[Any, ...]:
    if not items:
        raise wrong("{key} needs at least one entry")
    return items


SiteName = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(one_line)]
Days = Annotated[tuple[dt.date, dt.date], BeforeValidator(_span)]  # first and last
Address = Annotated[str, AfterValidator(one_line), AfterValidator(_address)]


class ReadWeather(Table):
    """Readings, and what the grower says about what checks find in them."""

    keep: Annotated[tuple[Days, ...], Field(strict=False)] = ()  # flagged, but right
    drop: Annotated[tuple[Days, ...], Field(strict=False)] = ()  # not flagged, but wrong

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

    source: Literal["logger"]
    file: Line  # or a pattern, "logger/*.csv", whose files are one record
    reference: Line | None = None  # a longer record from nearby, in a file of the same form
    reference_station: Line | None = None  # the same from a public station: its id, or "nearest"
    units: Units | None = None  # None: the workspace's
    date_format: Annotated[Line, AfterValidator(_date_format)] | None = None  # strptime; None: recognised
    columns: LoggerColumns = LoggerColumns()  # of `file`, as sensor and clock
    sensor: Line | None = None  # of several in the file; None: the one that is clearly outdoors
    clock: Annotated[Line, AfterValidator(known_clock)] | None = None  # of all times; None: the yard's own

    @model_validator(mode="after")
    def _one_reference(self) -> Self:
        if self.reference is not None and self.reference_station is not None:
            raise wrong("give reference or reference_station, not both", ("reference_station",))
        return self


class StationWeather(ReadWeather):
    """A public weather station: its id, or "nearest"."""

    source: Literal["station"]
    station: Line


class DemoWeather(Table):
    """Invented weather; no `climate` means the one of the site's hemisphere."""

    source: Literal["demo"]
    climate: Climate | None = None


WeatherSettings = Annotated[LoggerWeather | StationWeather | DemoWeather, Field(discriminator="source")]


def _sendable(text: str) -> str:
    if not text.isascii():
        raise wrong("{key} must be in plain letters, such as a mail address or the address of a web page")
    return text


class ServiceForecast(Table):
    """A national weather service's forecast for the place; its terms ask how to reach whoever asks."""

    source: Literal["service"]
    contact: Annotated[Line, AfterValidator(_sendable)]


class FileForecast(Table):
    """The grower's own log of forecasts, in a file that lies in (or is named from) the workspace folder."""

    source: Literal["file"]
    file: Line
    units: Units | None = None  # None: the workspace's


ForecastSettings = Annotated[ServiceForecast | FileForecast, Field(discriminator="source")]


class SiteSettings(Table):
    """One growing site. Degrees north and east are positive; elevation in metres."""

    name: SiteName
    latitude: float = Field(ge=-90, le=90)
    longitude: float = Field(ge=-180, le=180)
    elevation_m: float | None = Field(default=None, ge=-430, le=9000)
    timezone: Annotated[Line, AfterValidator(_known_timezone)] | None = None
    bench_frost_allowance_c: float = Field(default=0.0, ge=0, le=8)
    sun_on_pots: Literal["full", "half", "none"] | None = None
    pot_colour: Colour | None = None
    weather: WeatherSettings
    forecast: ForecastSettings | None = None  # None: nobody is asked

    @model_validator(mode="after")
    def _real_weather_only(self) -> Self:
        if self.forecast is not None and isinstance(self.weather, DemoWeather):
            raise wrong("invented weather has no forecast; take [site.forecast] out", ("forecast",))
        return self


def is_loopback(host: str) -> bool:
    """Whether `host` is this very machine, so that mail to it never crosses a network."""
    if host.casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


class RecipientSettings(Table):
    """One reader who gets some of the sites only."""

    to: Address
    sites: Annotated[tuple[SiteName, ...], Field(strict=False), AfterValidator(_some)]


class EmailSettings(Table):
    """The mail account a report goes out by. The password itself never stands in season.toml."""

    host: Line
    port: int = Field(default=587, ge=1, le=65535)
    security: Literal["starttls", "tls", "none"] = "starttls"
    username: Line | None = None
    password_env: Line | None = None
    password_file: Line | None = None
    sender: Address = Field(alias="from")
    recipient: Annotated[tuple[RecipientSettings, ...], Field(strict=False)] = ()
    to: Annotated[tuple[Address, ...], Field(strict=False)] = Field(default=(), validate_default=True)

    @field_validator("to")
    @classmethod
    def _somebody(cls, to: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        if not to and info.data.get("recipient") == ():  # absent where it has faults of its own
            raise wrong("{key} needs at least one entry")
        return to

    @field_validator("security")
    @classmethod
    def _plain_only_at_home(cls, security: str, info: ValidationInfo) -> str:
        host = info.data.get("host")
        if security == "none" and host is not None and not is_loopback(host):
            raise wrong(
                f'{{key}} "none" is allowed for this machine (localhost) only, not for "{shortened(host)}"'
            )
        return security

    @model_validator(mode="after")
    def _password_fits(self) -> EmailSettings:
        if self.password_env is not None and self.password_file is not None:
            raise wrong("give password_env or password_file, not both", ("password_file",))
        given = self.password_env if self.password_env is not None else self.password_file
        if self.username is not None and given is None:
            raise wrong("a username needs password_env or password_file beside it", ("username",))
        if self.username is None and given is not None:
            raise wrong("a password needs a username beside it")
        return self

    @model_validator(mode="after")
    def _each_once(self) -> EmailSettings:
        places = [("to", index) for index in range(len(self.to))]
        places += [("recipient", index) for index in range(len(self.recipient))]
        seen: set[str] = set()
        for address, place in zip(self.addresses, places, strict=True):
            if address.casefold() in seen:
                raise wrong(f'"{address}" is named twice', place)
            seen.add(address.casefold())
        return self

    @property
    def addresses(self) -> tuple[str, ...]:
        """Everybody the report goes to."""
        return (*self.to, *(one.to for one in self.recipient))

    def sites_for(self, address: str) -> tuple[str, ...] | None:
        """Names of the sites this reader is told about; None means all."""
        return next((one.sites for one in self.recipient if one.to == address), None)


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

    out: Line = "reports"
    language: Annotated[Line, AfterValidator(_known_language)] = ENGLISH


class DeliverySettings(Table):
    """A folder the week's report is copied to, for readers without mail."""

    folder: Line


class SchoolSettings(Table):
    """Where growers disagree over a job: the school this one follows, for a group or a species."""

    group: Line | None = None
    species: Line | None = None
    job: Line
    take: Line

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

    units: Units = "degC"
    site: Annotated[tuple[SiteSettings, ...], Field(strict=False), AfterValidator(_some)]
    email: EmailSettings | None = None
    delivery: DeliverySettings | None = None
    report: ReportSettings = ReportSettings()
    catalogue: Annotated[tuple[Line, ...], Field(strict=False)] = ()  # the grower's own species, file by file
    school: Annotated[tuple[SchoolSettings, ...], Field(strict=False)] = ()

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
