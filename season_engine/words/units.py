"""Temperatures in prose as the workspace wants them read: degC, or degF all through.

A sentence below this layer is a `Message`; its temperatures, differences and sums of heat are values, each
told by a rule of its own. What is no message, such as a grower's remark, stays as it was written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from season_engine.advice.first_screen import FirstScreen
from season_engine.messages import DEGREE_F, Message, Units
from season_engine.report.contents import SiteReport
from season_engine.report.season_sums import SeasonSum
from season_engine.tables.heat_units import unit_words
from season_engine.weather.series import Weather
from season_engine.windows.assessment import Assessment, Hazard, Reason, Step


def in_units(text: str, units: Units) -> str:
    """The sentence with its temperatures, differences and sums of heat in `units`."""
    return text.told_in(units) if isinstance(text, Message) else text


def number_in(value: float, unit: str, units: Units) -> float:
    """A value stated in `unit`, such as degC or degree days; of any other unit it stays as it is."""
    if units == "degC":
        return value
    if unit == "degC":
        return value * DEGREE_F + 32
    return value * DEGREE_F if unit.startswith("growing degree days") else value


def weather_in(weather: Weather, units: Units) -> Weather:
    """The same weather, spoken of in `units`; its arrays stay in degC."""
    return replace(
        weather,
        faults=tuple(replace(fault, text=in_units(fault.text, units)) for fault in weather.faults),
        warnings=tuple(in_units(text, units) for text in weather.warnings),
        notes=tuple(in_units(text, units) for text in weather.notes),
    )


def site_report_in(site: SiteReport, units: Units) -> SiteReport:
    """The same report, its assessments in `units`; its season sums are turned where they are printed."""
    return replace(
        site,
        units=units,
        windows=tuple(assessment_in(a, units) for a in site.windows),
        trees=tuple(assessment_in(a, units) for a in site.trees),
        first=_first_in(site.first, units),
        look_at=tuple(replace(look, label=in_units(look.label, units)) for look in site.look_at),
    )


def _first_in(first: FirstScreen, units: Units) -> FirstScreen:
    return replace(
        first,
        work=tuple(
            replace(one, assessments=tuple(assessment_in(a, units) for a in one.assessments))
            for one in first.work
        ),
        protect=tuple(
            replace(
                one,
                event=in_units(one.event, units),
                hazard=_hazard(one.hazard, units),
            )
            for one in first.protect
        ),
    )


def assessment_in(a: Assessment, units: Units) -> Assessment:
    """The same assessment, its sentences in `units`; numbers that state their unit stay as they are."""
    told = a.explanation
    return replace(
        a,
        today_why=in_units(a.today_why, units),
        reasons=tuple(_reason(reason, units) for reason in a.reasons),
        hazards=tuple(_hazard(hazard, units) for hazard in a.hazards),
        notes=tuple(in_units(text, units) for text in a.notes),
        aftercare=tuple(in_units(text, units) for text in a.aftercare),
        explanation=told and replace(told, steps=tuple(_step(step, units) for step in told.steps)),
    )


def sum_in(s: SeasonSum, units: Units) -> SeasonSum:
    """The same sum, its lines and its unit in `units`."""
    so_far, p10, p50, p90 = (
        tuple(number_in(value, s.unit, units) for value in line) for line in (s.so_far, s.p10, s.p50, s.p90)
    )
    return replace(s, unit=in_units(s.unit, units), so_far=so_far, p10=p10, p50=p50, p90=p90)


def numbers_in(numbers: Mapping[str, int | float | str], unit: str, units: Units) -> dict[str, str]:
    """A marker's numbers by name as they are printed: a name that ends in ``_c`` ends in ``_f`` then."""
    told = {}
    for name, value in numbers.items():
        if isinstance(value, str):
            told[name] = in_units(unit_words(value) if name == "unit" else value, units)
        elif units == "degF" and name.endswith("_per_c"):
            told[f"{name[:-1]}f"] = f"{value / DEGREE_F:g}"
        elif units == "degF" and name.endswith("_c"):
            told[f"{name[:-1]}f"] = f"{number_in(value, 'degC', units):g}"
        else:
            told[name] = f"{number_in(value, unit, units) if name == 'need' else value:g}"
    return told


def _reason(reason: Reason, units: Units) -> Reason:
    return replace(reason, text=in_units(reason.text, units), provenance=in_units(reason.provenance, units))


def _hazard(hazard: Hazard, units: Units) -> Hazard:
    text, brief, forecast = (in_units(text, units) for text in (hazard.text, hazard.brief, hazard.forecast))
    return replace(hazard, text=text, brief=brief, forecast=forecast)


def _step(step: Step, units: Units) -> Step:
    return replace(step, reason=_reason(step.reason, units))
