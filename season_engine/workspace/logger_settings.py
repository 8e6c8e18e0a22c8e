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


def _flag(value: object) -> str:
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    if not isinstance(value, str) or len(value) > 60:
        raise wrong(
            '{key} must hold marks as they stand in the file, such as "0" or "ok"; "" is an empty cell'
        )
    return value.strip()


Flag = Annotated[str, BeforeValidator(_flag)]
Column = Annotated[str | int, BeforeValidator(_column)]


class LoggerColumns(Table):
    """Which columns of a logger's file are read, where the file itself doesn't say it."""

    date: Column | None = Field(default=None, description="Of the day.")
    time: Column | None = Field(default=None, description="Of the time, or of day and time.")
    year: Column | None = Field(default=None, description="Of the year, where a date's parts stand apart.")
    month: Column | None = Field(default=None, description="Of the month, likewise.")
    day: Column | None = Field(default=None, description="Of the day of the month, likewise.")
    day_of_year: Column | None = Field(
        default=None, description="Of the day counted from 1 January, instead of month and day."
    )
    hour: Column | None = Field(default=None, description="Of the hour, where it stands apart.")
    minute: Column | None = Field(default=None, description="Of the minute, likewise.")
    temp: Column | None = Field(
        default=None, description="Of the air's temperature, where there are readings within the day."
    )
    tmin: Column | None = Field(default=None, description="Of the day's lowest.")
    tmax: Column | None = Field(default=None, description="Of the day's highest.")
    sensor: Column | None = Field(
        default=None, description="Of the sensor's name, where lines are of several."
    )
    flag: Column | None = Field(
        default=None, description="Of the mark that says how good a reading is; see flags."
    )

    @model_validator(mode="after")
    def _whole_dates(self) -> Self:
        parts = (self.month, self.day, self.day_of_year, self.hour, self.minute)
        if self.year is None and any(part is not None for part in parts):
            raise wrong("give the column of the year as well, or date and time instead", ("year",))
        month_and_day = self.month is not None and self.day is not None
        if self.year is not None and not (month_and_day or self.day_of_year is not None):
            raise wrong("give the columns of month and day as well, or that of day_of_year", ("month",))
        return self

    @model_validator(mode="after")
    def _days_or_readings(self) -> Self:
        if self.temp is not None and (self.tmin is not None or self.tmax is not None):
            raise wrong(
                "give temp for readings within the day, or tmin and tmax for days, not both", ("temp",)
            )
        return self
