"""A sum of heat, and its unit as the catalogue writes it out: degree days above a base."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, Field

from season_engine.facts import HeatUnit
from season_engine.tables.known import Table
from season_engine.tables.texts import AS_A_STRING

_UNIT = re.compile(
    r"growing degree days above (?P<base>-?\d+(\.\d+)?) degC( capped at (?P<upper>\d+(\.\d+)?) degC)?"
)


def is_heat_unit(unit: str) -> bool:
    """Whether it is degree days as the catalogue writes them."""
    return _UNIT.fullmatch(unit) is not None


def heat_unit(unit: str) -> HeatUnit:
    """The unit that is written so; raises ValueError."""
    found = _UNIT.fullmatch(unit)
    if not found:
        raise ValueError(
            f'unit "{unit}" is not known; write "growing degree days above 5 degC" '
            'or "growing degree days above 5 degC capped at 30 degC"'
        )
    return HeatUnit(float(found["base"]), None if found["upper"] is None else float(found["upper"]))


class Heat(Table):
    """An amount of heat, in a unit written out."""

    need: float = Field(gt=0, title="{need:g} {unit}", description="How much heat.")
    unit: Annotated[HeatUnit, AS_A_STRING, AfterValidator(heat_unit)] = Field(
        description='Of what: "growing degree days above 5 degC", "capped at 30 degC" with it if you like.'
    )

    @property
    def base_c(self) -> float:
        """Temperature that heat is counted above."""
        return self.unit.base_c

    @property
    def upper_c(self) -> float | None:
        """Temperature at which the daily mean is capped, if it is."""
        return self.unit.upper_c
