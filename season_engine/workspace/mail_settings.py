"""Who gets the report, and how it goes out: tables of season.toml."""

from __future__ import annotations

import ipaddress
import re
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, ValidationInfo, field_validator, model_validator

from season_engine.files.text import shortened
from season_engine.files.toml_faults import wrong
from season_engine.workspace.setting_values import Line, SiteName, Table, some

ADDRESS = re.compile(r"[^@\s<>,;:\"()]+@[^@\s<>,;:\"()]+")


def _address(text: str) -> str:
    if not text.isascii():
        raise wrong(f'{{key}} "{shortened(text)}" must be in plain letters; write its domain as xn--...')
    if not ADDRESS.fullmatch(text):
        raise wrong(
            f'{{key}} must hold plain mail addresses such as "grower@example.org"; got "{shortened(text)}"'
        )
    return text


Address = Annotated[Line, AfterValidator(_address)]


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

    to: Address = Field(description="The mail address.")
    sites: Annotated[tuple[SiteName, ...], Field(strict=False), AfterValidator(some)] = Field(
        description="Names of the sites that are told there."
    )


class EmailSettings(Table):
    """The mail account a report goes out by. The password itself never stands in season.toml."""

    host: Line = Field(description="The mail server.")
    port: int = Field(default=587, ge=1, le=65535, description="Its port; 465 goes with tls, mostly.")
    security: Literal["starttls", "tls", "none"] = Field(
        default="starttls", description='How the line is encrypted; "none" only to this machine itself.'
    )
    username: Line | None = Field(default=None, description="Of the login, where the server wants one.")
    password_env: Line | None = Field(
        default=None, description="The environment variable that holds the password."
    )
    password_file: Line | None = Field(
        default=None, description="Or the file that holds it, which only you can read."
    )
    sender: Address = Field(alias="from", description="The address the report comes from.")
    recipient: Annotated[tuple[RecipientSettings, ...], Field(strict=False)] = Field(
        default=(), description="Readers of some of the sites only."
    )
    to: Annotated[tuple[Address, ...], Field(strict=False)] = Field(
        default=(), validate_default=True, description="Addresses of those who read about every site."
    )

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


class DeliverySettings(Table):
    """A folder the week's report is copied to, for readers without mail."""

    folder: Line = Field(description="A folder that gets a copy of each week's report.")
