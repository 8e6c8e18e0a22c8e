"""Numbers that stand apart from a sentence, in the units that are spoken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from season_engine.messages import DEGREE_F, said, units
from season_engine.report.season_sums import SeasonSum
from season_engine.tables.heat_units import unit_words


def number(value: float, unit: str) -> float:
    """A value stated in `unit`, such as degC or degree days; of any other unit it stays as it is."""
    if units() == "degC":
        return value
    if unit == "degC":
        return value * DEGREE_F + 32
    return value * DEGREE_F if unit.startswith("growing degree days") else value


def season_sum(s: SeasonSum) -> SeasonSum:
    """The same sum, its lines and its unit as they are told."""
    so_far, p10, p50, p90 = (
        tuple(number(value, s.unit) for value in line) for line in (s.so_far, s.p10, s.p50, s.p90)
    )
    return replace(s, unit=said(s.unit), so_far=so_far, p10=p10, p50=p50, p90=p90)


def named_numbers(numbers: Mapping[str, int | float | str], unit: str) -> dict[str, str]:
    """A marker's numbers by name as they are printed: a name that ends in ``_c`` ends in ``_f`` then."""
    told = {}
    fahrenheit = units() == "degF"
    for name, value in numbers.items():
        if isinstance(value, str):
            told[name] = said(unit_words(value) if name == "unit" else value)
        elif fahrenheit and name.endswith("_per_c"):
            told[f"{name[:-1]}f"] = f"{value / DEGREE_F:g}"
        elif fahrenheit and name.endswith("_c"):
            told[f"{name[:-1]}f"] = f"{number(value, 'degC'):g}"
        else:
            told[name] = f"{number(value, unit) if name == 'need' else value:g}"
    return told
