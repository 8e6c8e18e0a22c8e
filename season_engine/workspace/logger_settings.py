"""What `[site.weather]` may say of how a logger's file is to be read."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import BeforeValidator, Field, model_validator

from season_engine.files.toml_faults import wrong
from season_engine.weather.logger.clocks import zone_set
from season_engine.workspace.setting_values import Table, one_line


def known_clock(text: str) -> str:
    """A zone by its distance from Greenwich."""
    if zone_set(text) is None:
        raise wrong('{key} must be a zone such as "UTC" or "UTC+2"; leave it out for the yard\'s own clock')
    return text


def _column(value: object) -> str | int:
    if isinstance(value, str):
        return one_line(value)
    if not isinstance(value, int) or isinstance(value, bool) or value < 1:
        raise wrong("{key} must be a column's header in quotes, or its number from 1")
    return value


Column = Annotated[str | int, BeforeValidator(_column)]


class LoggerColumns(Table):
    """Which columns of a logger's file are read, where the file itself doesn't say it."""

    date: Column | None = Field(default=None, description="Of the day.")
    time: Column | None = Field(default=None, description="Of the time, or of day and time.")
    temp: Column | None = Field(
        default=None, description="Of the air's temperature, where there are readings within the day."
    )
    tmin: Column | None = Field(default=None, description="Of the day's lowest.")
    tmax: Column | None = Field(default=None, description="Of the day's highest.")
    sensor: Column | None = Field(
        default=None, description="Of the sensor's name, where lines are of several."
    )

    @model_validator(mode="after")
    def _days_or_readings(self) -> Self:
        if self.temp is not None and (self.tmin is not None or self.tmax is not None):
            raise wrong(
                "give temp for readings within the day, or tmin and tmax for days, not both", ("temp",)
            )
        return self
