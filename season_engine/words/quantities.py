"""Numbers that stand apart from a sentence, in the units that are spoken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from season_engine.facts import DEGREE_F, Degrees, HeatUnit, Unit
from season_engine.markers.base import Figure
from season_engine.words.speech import say, units

if TYPE_CHECKING:  # what `check` says asks for no report
    from season_engine.report.season_sums import SeasonSum


def unit_text(unit: Unit) -> str:
    """A unit as it is told: ``growing degree days above 5 °C``, ``chill portions``."""
    if not isinstance(unit, HeatUnit):
        return say(unit)
    base = Degrees(unit.base_c)
    if unit.upper_c is None:
        return say("growing degree days above {base}", base=base)
    return say("growing degree days above {base} capped at {upper}", base=base, upper=Degrees(unit.upper_c))


def number(value: float, unit: Unit) -> float:
    """A value stated in `unit`, such as degC or degree days; of any other unit it stays as it is."""
    if units() == "degC":
        return value
    if unit == "degC":
        return value * DEGREE_F + 32
    return value * DEGREE_F if isinstance(unit, HeatUnit) else value


def season_sum(s: SeasonSum) -> SeasonSum:
    """The same sum, its lines in the units that are spoken."""
    so_far, p10, p50, p90 = (
        tuple(number(value, s.unit) for value in line) for line in (s.so_far, s.p10, s.p50, s.p90)
    )
    return replace(s, so_far=so_far, p10=p10, p50=p50, p90=p90)


def named_numbers(numbers: Mapping[str, Figure], unit: Unit) -> dict[str, str]:
    """A marker's numbers by name as they are printed: a name that ends in ``_c`` ends in ``_f`` then."""
    told = {}
    fahrenheit = units() == "degF"
    for name, value in numbers.items():
        if isinstance(value, HeatUnit | str):
            told[name] = unit_text(value)
        elif fahrenheit and name.endswith("_per_c"):
            told[f"{name[:-1]}f"] = f"{value / DEGREE_F:g}"
        elif fahrenheit and name.endswith("_c"):
            told[f"{name[:-1]}f"] = f"{number(value, 'degC'):g}"
        else:
            told[name] = f"{number(value, unit) if name == 'need' else value:g}"
    return told
