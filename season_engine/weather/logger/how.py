"""What a grower says of how a logger's file is to be read; the rest is seen from the file, or asked for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from season_engine.facts import Units

Role = Literal["date", "time", "temp", "tmin", "tmax", "sensor"]
ROLES: tuple[Role, ...] = ("date", "time", "temp", "tmin", "tmax", "sensor")


@dataclass(frozen=True)
class ReadAs:
    """Settings of `[site.weather]` that tell how its file is read."""

    units: Units | None = None  # of the file; None: as it says itself, or else `usual_units`
    usual_units: Units = "degC"  # where neither the file nor `units` says any
    date_format: str | None = None  # a `strptime` format
    columns: dict[Role, str | int] = field(default_factory=dict)  # header, or number from 1
    sensor: str | None = None  # of several in the file
    clock: str | None = None  # "UTC", "UTC+2": the zone of all times; None: the yard's own clock
