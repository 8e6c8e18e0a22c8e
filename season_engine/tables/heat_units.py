"""A sum of heat, and its unit written out: degree days above a base."""

from __future__ import annotations

import re

from pydantic import Field, field_validator

from season_engine.facts import Degrees
from season_engine.messages import Message
from season_engine.tables.known import Table

_UNIT = re.compile(
    r"growing degree days above (?P<base>-?\d+(\.\d+)?) degC( capped at (?P<upper>\d+(\.\d+)?) degC)?"
)


def is_heat_unit(unit: str) -> bool:
    """Whether it is degree days as the catalogue writes them."""
    return _UNIT.fullmatch(unit) is not None


def base_and_cap_c(unit: str) -> tuple[float, float | None]:
    """What heat is counted above, and at which daily mean it is capped, if it is; raises ValueError."""
    found = _UNIT.fullmatch(unit)
    if not found:
        raise ValueError(
            f'unit "{unit}" is not known; write "growing degree days above 5 degC" '
            'or "growing degree days above 5 degC capped at 30 degC"'
        )
    return float(found["base"]), None if found["upper"] is None else float(found["upper"])


def unit_words(unit: str) -> Message:
    """Any unit as it is told, the temperatures in one of heat as values."""
    if not is_heat_unit(unit):
        return Message(unit)
    base_c, upper_c = base_and_cap_c(unit)
    if upper_c is None:
        return Message("growing degree days above {base}", base=Degrees(base_c))
    capped = Message("growing degree days above {base} capped at {upper}")
    return Message(capped, base=Degrees(base_c), upper=Degrees(upper_c))


class Heat(Table):
    """An amount of heat, in a unit written out."""

    need: float = Field(gt=0, description="{need:g} {unit}")
    unit: str

    @field_validator("unit")
    @classmethod
    def _known_unit(cls, unit: str) -> str:
        base_and_cap_c(unit)
        return unit

    @property
    def base_c(self) -> float:
        """Temperature that heat is counted above."""
        return base_and_cap_c(self.unit)[0]

    @property
    def upper_c(self) -> float | None:
        """Temperature at which the daily mean is capped, if it is."""
        return base_and_cap_c(self.unit)[1]
