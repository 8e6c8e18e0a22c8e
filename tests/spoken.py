"""A text as JSON has it, in either unit."""

from __future__ import annotations

from season_engine.facts import Text, Units
from season_engine.words.speech import for_programs, said


def spelt_out(text: str | Text, units: Units = "degC") -> str:
    with for_programs(units):
        return said(text)
