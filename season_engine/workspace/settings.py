"""What season.toml may hold: sites and their weather, the mail account, where reports go."""

from __future__ import annotations

import datetime as dt
import ipaddress
import re
import zoneinfo
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    ValidationInfo,
    field_validator,
    model_validator,
)
from pydantic_core import PydanticCustomError

from season_engine.workspace.reading import shortened

Units = Literal["degC", "degF"]
Climate = Literal["cool-inland-north", "mild-maritime-south"]

CONTROL_CHARACTER = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
ADDRESS = re.compile(r"[^@\s<>,;:\"()]+@[^@\s<>,;:\"()]+")


def wrong(text: str, at: tuple[str | int, ...] = ()) -> PydanticCustomError:
    """A fault in the grower's words with ``{key}`` for the key; `at` leads from the value to the fault."""
    return PydanticCustomError("wrong", "{text}", {"text": text, "at": at})


def _one_line(text: str) -> str:
    text = text.strip()
    if not text:
        raise wrong("{key} must not be empty")
    if CONTROL_CHARACTER.search(text):
        raise wrong("{key} must be one line without control characters")
    return text


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


def _address(text: str) -> str:
    if not ADDRESS.fullmatch(text):
        raise wrong(
            f'{{key}} must hold plain mail addresses such as "grower@example.org"; got "{shortened(text)}"'
        )
    return text


def _some(items: tuple[Any, ...]) -> tuple[Any, ...]:
    if not items:
        raise wrong("{key} needs at least one entry")
    return items


Line = Annotated[str, AfterValidator(_one_line)]
SiteName = Annotated[str, Field(min_length=1, max_length=60), AfterValidator(_one_line)]
Address = Annotated[str, AfterValidator(_one_line), AfterValidator(_address)]


class Table(BaseModel):
    """A TOML table: every key is known, every value of the stated type."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


class LoggerWeather(Table):
    """The grower's own readings, in a file that lies in (or is named from) the workspace folder."""

    source: Literal["logger"]
    file: Line
    units: Units | None = None  # None: the workspace's
    date_format: Annotated[Line, AfterValidator(_date_format)] | None = None  # strptime; None: recognised


class StationWeather(Table):
    """A public weather station: its id, or "nearest"."""

    source: Literal["station"]
    station: Line


class DemoWeather(Table):
    """Invented weather; no `climate` means the one of the site's hemisphere."""

    source: Literal["demo"]
    climate: Climate | None = None


WeatherSettings = Annotated[LoggerWeather | StationWeather | DemoWeather, Field(discriminator="source")]


class SiteSettings(Table):
    """One growing site. Degrees north and east are positive; elevation in metres."""

    name: SiteName
    latitude: float = Field(ge=-90, le=90)
    longitude: float = Field(ge=-180, le=180)
    elevation_m: float | None = Field(default=None, ge=-430, le=9000)
    timezone: Annotated[Line, AfterValidator(_known_timezone)] | None = None
    weather: WeatherSettings


def is_loopback(host: str) -> bool:
    """Whether `host` is this very machine, so that mail to it never crosses a network."""
    if host.casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


class EmailSettings(Table):
    """The mail account a report goes out by. The password itself never stands in season.toml."""

    host: Line
    port: int = Field(default=587, ge=1, le=65535)
    security: Literal["starttls", "tls", "none"] = "starttls"
    username: Line | None = None
    password_env: Line | None = None
    password_file: Line | None = None
    sender: Address = Field(alias="from")
    to: Annotated[tuple[Address, ...], Field(strict=False), AfterValidator(_some)]

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


class ReportSettings(Table):
    """Where reports go: a folder, named from the workspace folder."""

    out: Line = "reports"


class Settings(Table):
    """The whole of season.toml."""

    units: Units = "degC"
    site: Annotated[tuple[SiteSettings, ...], Field(strict=False), AfterValidator(_some)]
    email: EmailSettings | None = None
    report: ReportSettings = ReportSettings()

    @model_validator(mode="after")
    def _names_differ(self) -> Settings:
        seen: dict[str, int] = {}
        for index, site in enumerate(self.site):
            first = seen.setdefault(site.name.casefold(), index)
            if first != index:
                raise wrong(f'site name "{site.name}" is used twice', ("site", index, "name"))
        return self
