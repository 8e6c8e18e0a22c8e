"""What a grower says of how a logger's file is to be read; the rest is seen from the file, or asked for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, get_args

from season_engine.facts import Units

Role = Literal[
    "date",
    "time",
    "year",
    "month",
    "day",
    "day_of_year",
    "hour",
    "minute",
    "temp",
    "tmin",
    "tmax",
    "sensor",
    "flag",
]
ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True)
class ReadAs:
    """Settings of `[site.weather]` that tell how its file is read."""

    units: Units | None = None  # of the file; None: as it says itself, or else `usual_units`
    usual_units: Units = "degC"  # where neither the file nor `units` says any
    date_format: str | None = None  # a `strptime` format
    columns: dict[Role, str | int] = field(default_factory=dict)  # header, or number from 1
    sensor: str | None = None  # of several in the file
    clock: str | None = None  # "UTC", "UTC+2": the zone of all times; None: the yard's own clock
    year: int | None = None  # of the first line, where the file doesn't say it
    tenths: bool | None = None  # whether temperatures are tenths of a degree; None: as the file says
    flags: tuple[str, ...] | None = None  # texts of the quality column whose readings are kept
    interval_hours: int = 1  # the most that readings may be apart
