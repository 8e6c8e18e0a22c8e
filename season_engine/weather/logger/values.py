"""Temperatures of a logger's table in degrees Celsius, and in which unit they are written."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from season_engine.errors import GrowerError
from season_engine.facts import Units
from season_engine.files.text import shortened
from season_engine.weather.logger.cells import MISSING_CODES, WORD, Cell, Slip, cell
from season_engine.weather.logger.faults import Faults
from season_engine.weather.logger.form import UnitsFrom
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.marked_values import Marks
from season_engine.weather.series import BoolArray, FloatArray

COLDEST_C, HOTTEST_C = -90.0, 60.0  # nothing colder or hotter was ever measured in the open
_CODE_SLACK_C = 0.02  # a code in degC that was turned into degF and back
_NUMBER_BEGINS = tuple("0123456789+-\N{MINUS SIGN}\N{EN DASH}")
_KELVIN = 273.15
_SAYS_KELVIN = re.compile(r"(?<![^\W_])(?:K|[Kk]elvins?)(?![^\W_])")
_NUMBER = re.compile(r"\s*\d+(?:[.,]\d+)?\s*")
_MOSTLY = 0.5  # of the different numbers: codes for no reading are few
_CODES_C = (-127.0, 85.0)  # what a common kind of probe says, the second when it has just been switched on


@dataclass(frozen=True)
class Unit:
    """A file's unit of temperature and where it is known from."""

    units: Units
    known_from: UnitsFrom

    def celsius(self, value: float, own: str = "") -> float:
        """A number of this unit, or of its `own`, in degrees Celsius."""
        return (value - 32.0) / 1.8 if (own or self.units[-1]) == "F" else value


def unit_of(table: LoggerTable, role: str, how: ReadAs) -> Unit:
    """The unit of a column, by the settings, the header, the cells or what stands above; else the usual one.

    Raises GrowerError where the header and the settings differ.
    """
    at = table.plan.temps[role]
    said = table.head.unit(at)
    found: tuple[str, UnitsFrom] | None = (said, "header") if said in ("C", "F") else None
    if found is None and (own := _units_of_cells(table, role)):
        found = own, "cells"
    if found is None and table.head.told_unit:
        found = table.head.told_unit, "about"
    if found is None:
        return Unit(how.units or how.usual_units, "settings" if how.units else "nothing")
    units: Units = "degF" if found[0] == "F" else "degC"
    if how.units is not None and how.units != units:
        where = {"header": "the header says", "cells": "the cells say", "about": "the lines above say"}[
            found[1]
        ]
        hint = f'If the header is right, set units = "{units}" under [site.weather].'
        problem = f"{where} {units} and the settings say {how.units}."
        raise GrowerError(problem, hint=hint, file=table.file, line=table.head.line, field=table.name(role))
    return Unit(units, found[1])


def _units_of_cells(table: LoggerTable, role: str) -> str:
    """The unit that cells, or those of a column of units, have; "" where they have none."""
    texts = set(table.texts["unit"]) if "unit" in table.texts else set(table.texts[role])
    found = set()
    for text in texts:
        if "unit" in table.texts:
            text = f"1 {text}"
        try:
            one = cell(text)
        except Slip:
            continue
        if one.number is not None and one.unit in ("C", "F"):
            found.add(one.unit)
    if len(found) > 1 and "unit" in table.texts:
        raise GrowerError(
            "some rows are in degC and some in degF.",
            hint="Export it in one unit.",
            file=table.file,
            field=table.name("unit"),
        )
    return "" if not found else found.pop() if len(found) == 1 else "C"


@dataclass
class Values:
    """A column of temperatures, and the rows without one."""

    celsius: FloatArray  # shape (rows,); NaN where there is none
    words: dict[int, str]  # rows with a word or a code for a missing reading
    impossible: dict[int, str]  # rows with what can't be out of doors
    slips: dict[int, str]  # rows with what looks like a number and is none
    numbers: dict[str, float]  # as they stand, by text

    def drop(self, row: int) -> None:
        """Take a row for one without a temperature."""
        self.celsius[row] = np.nan
        for found in (self.words, self.impossible, self.slips):
            found.pop(row, None)


def values_of(table: LoggerTable, role: str, unit: Unit, how: ReadAs) -> Values:
    """One column in degC. Each different text is read once: even a million rows have few."""
    texts = table.texts[role]
    told = table.head.scale(table.plan.temps[role])
    scale = told if how.tenths is None else 10.0 if how.tenths else 1.0
    above = _above_celsius(table, role)
    marks = Marks(table, role, how)
    known: dict[str, float] = {}
    words, odd, numbers = set(), set(), {}
    slips: set[str] = set()
    for text in set(texts):
        known[text] = np.nan
        found = _reading(text, marks, slips)
        if found is None:
            continue
        if found.number is None or found.unit not in ("C", "F", ""):  # "50%", of a line of another kind
            if found.word or found.number is not None:
                words.add(text)
            continue
        if scale > 1 and found.decimals and found.number != int(found.number):
            problem = f'the header speaks of tenths of a degree, and "{shortened(text)}" has decimals.'
            hint = "Write tenths = false under [site.weather] if these are whole degrees."
            raise GrowerError(
                problem, hint=hint, file=table.file, line=table.head.line, field=table.name(role)
            )
        value = found.number / scale - above
        numbers[text] = value
        if is_code(found, value, unit):
            words.add(text)
            continue
        known[text] = unit.celsius(value, found.unit if found.unit in ("C", "F") else "")
        if not COLDEST_C <= known[text] <= HOTTEST_C:
            odd.add(text)
            known[text] = np.nan
    return Values(
        np.array([known[text] for text in texts]),
        _rows(texts, words),
        _rows(texts, odd),
        _rows(texts, slips),
        numbers,
    )


def _above_celsius(table: LoggerTable, role: str) -> float:
    """What a column's numbers lie above degrees Celsius: kelvins where its name says so, and all can be."""
    at = table.plan.temps[role]
    if not _SAYS_KELVIN.search(table.head.title(at)):
        return 0.0
    numbers = [float(text.replace(",", ".")) for text in set(table.texts[role]) if _NUMBER.fullmatch(text)]
    likely = sum(COLDEST_C <= number - _KELVIN <= HOTTEST_C for number in numbers)
    return _KELVIN if numbers and likely >= _MOSTLY * len(numbers) else 0.0


def _reading(text: str, marks: Marks, slips: set[str]) -> Cell | None:
    """What a cell holds but for a note beside its number; None for what can't be read, kept in `slips`."""
    try:
        found = cell(text)
        if not (found.word and text.strip()[:1] in _NUMBER_BEGINS):
            return found
    except Slip:
        found = None
    try:
        number = marks.number(text)
    except ValueError:
        if found is None:
            slips.add(text)
        return found
    return WORD if number is None else Cell(number, decimals=1 if number != int(number) else 0)


def _rows(texts: list[str], wanted: set[str]) -> dict[int, str]:
    return {row: text for row, text in enumerate(texts) if text in wanted} if wanted else {}


def is_code(found: Cell, value: float, unit: Unit) -> bool:
    """Whether a number is one that sensors write where there is no reading."""
    celsius = unit.celsius(value, found.unit if found.unit in ("C", "F") else "")
    if any(abs(celsius - code) <= _CODE_SLACK_C for code in _CODES_C):
        return True
    return (found.number in MISSING_CODES or value in MISSING_CODES) and not COLDEST_C <= celsius <= HOTTEST_C


def tell_faults(
    table: LoggerTable, role: str, values: Values, unit: Unit, faults: Faults, good: BoolArray
) -> None:
    """Note what is no temperature on rows that are readings, those that are `good`, of shape (rows,)."""
    for row, text in values.slips.items():
        if good[row]:
            faults.add(
                "no number", table.lines[row], table.name(role), f'"{shortened(text)}" is not a number.'
            )
    for row, text in values.impossible.items():
        if good[row]:
            problem = f"{shortened(text.strip())} {unit.units} is not possible out of doors."
            faults.add("impossible", table.lines[row], table.name(role), problem)
