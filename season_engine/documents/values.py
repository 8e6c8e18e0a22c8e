"""Kinds of numbers and dates that the documents hold."""

from __future__ import annotations

import datetime as dt
import math
from typing import Annotated

from pydantic import BeforeValidator, Field


def finite(value: float | None) -> float | None:
    """To four places, so that the last bits of a sum never show as a change; None if not a number."""
    return None if value is None or not math.isfinite(value) else round(float(value), 4)


def _minutes(moment: dt.datetime) -> str:
    return moment.isoformat(timespec="minutes")


def _seconds(moment: dt.datetime) -> str:
    return moment.isoformat(timespec="seconds")


_ROUNDED = BeforeValidator(finite)
_FROM_0 = Field(ge=0)
_SHARE = Field(ge=0, le=1)

Number = Annotated[float, _ROUNDED]
NumberOrNone = Annotated[float | None, _ROUNDED]
Size = Annotated[float, _FROM_0, _ROUNDED]
SizeOrNone = Annotated[Annotated[float, _FROM_0] | None, _ROUNDED]
Chance = Annotated[float, _SHARE, _ROUNDED]
ChanceOrNone = Annotated[Annotated[float, _SHARE] | None, _ROUNDED]
Skill = Annotated[Annotated[float, Field(le=1)] | None, _ROUNDED]

Count = Annotated[int, _FROM_0]
Some = Annotated[int, Field(ge=1)]
Stage = Annotated[int, Field(ge=0, le=99, description="Growth stage (BBCH).")]

Date = Annotated[dt.date, Field(json_schema_extra={"pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"})]
SeasonLabel = Annotated[str, Field(pattern="^[0-9]{4}/[0-9]{2}$")]
Minute = Annotated[
    str,
    Field(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}"),
    BeforeValidator(_minutes),
]
Second = Annotated[str, Field(json_schema_extra={"format": "date-time"}), BeforeValidator(_seconds)]
