"""How a logger's file was read, in words of each language."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from typing import get_args

import pytest

from season_engine.locale import ENGLISH, languages
from season_engine.weather.logger.form import (
    ClockFrom,
    Column,
    DateForm,
    LeftKind,
    LinesLeft,
    LoggerForm,
    UnitsFrom,
)
from season_engine.words.logger_form import form_sentences
from season_engine.words.speech import speaking

FORM = LoggerForm(
    files=("yard.csv",),
    alphabet="UTF-8",
    separator="semicolon",
    header_line=3,
    header="Datum;Temperatur [°C]",
    columns=(Column("time", "Datum", 1), Column("temp", "Temperatur [°C]", 2)),
    units="degC",
    units_from="header",
    dates="day first",
    clock_from="own",
    zone=None,
    by_the_sun=False,
    sensor=None,
    sensors_left=(),
    hemisphere="north",
    first_day=dt.date(2025, 3, 1),
    last_day=dt.date(2025, 4, 1),
    step_minutes=15.0,
    readings=3000,
)
DAILY = dataclasses.replace(
    FORM, columns=(Column("date", "", 1), Column("tmin", "", 2), Column("tmax", "Max", 3)), step_minutes=None
)
LONG = dataclasses.replace(FORM, sensor="Obstgarten", sensors_left=("Flur", "Teich"))
LEFT = tuple(
    LinesLeft(kind, lines, 7, "logger/yard.csv", "Mittel") for kind in get_args(LeftKind) for lines in (1, 12)
)


def every_form() -> list[LoggerForm]:
    """Each way to know a unit, a clock, a date; hours, days, several sensors, all kinds of lines left."""
    units = [dataclasses.replace(FORM, units_from=one) for one in get_args(UnitsFrom)]
    clocks = [dataclasses.replace(FORM, clock_from=one, zone="UTC") for one in get_args(ClockFrom)]
    dates = [dataclasses.replace(FORM, dates=one, step_minutes=60.0) for one in get_args(DateForm)]
    steps = [dataclasses.replace(FORM, step_minutes=one) for one in (1.0, 180.0)]
    return [*units, *clocks, *dates, *steps, DAILY, LONG, dataclasses.replace(FORM, left=LEFT, units="degF")]


@pytest.mark.parametrize("language", languages())
def test_all_is_said(language: str) -> None:
    with speaking(language):
        said = [text for form in every_form() for text in form_sentences(form)]
    assert not [text for text in said if re.search(r"[{}]|\.\.", text)]
    english = [text for text in said if re.search(r"\b(the|and|line|with|of)\b", text)]
    assert (language == ENGLISH) == bool(english), english


def test_a_grower_reads_how_it_was_read() -> None:
    assert next(form_sentences(FORM)) == (
        "Read: column “Temperatur [°C]”, in Celsius, as its header says; dates with the day first, "
        "every 15 minutes, the yard's own clock."
    )
    assert next(form_sentences(DAILY)).startswith("Read: columns 2 and “Max”, in Celsius")
    assert list(form_sentences(LONG))[1] == "Of its sensors “Obstgarten” is read, and not “Flur”, “Teich”."
    told = dataclasses.replace(FORM, left=(LinesLeft("cut short", 1, 9, "a/yard.csv", "2025-03"),))
    assert list(form_sentences(told))[1] == "yard.csv: line 9 is cut short and left out (2025-03)."
