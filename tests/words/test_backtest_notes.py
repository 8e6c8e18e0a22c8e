"""Whatever is to be told of a backtest beside its cases has words."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from season_engine.site import Season
from season_engine.verify.notes import (
    BacktestNote,
    DatesTooFarApart,
    FittedHere,
    NearestStage,
    NoEvent,
    NoRule,
    NoTemperatures,
    SeasonsWithGaps,
    ShortRecord,
    UnusableTemperatures,
)
from season_engine.verify.station_files import Event, Undated, UnlistedSites
from season_engine.words.backtest_notes import backtest_note_text

SWELLING = Event("Acer palmatum", 1)
SEASONS = (Season(2003, "north"), Season(2005, "north"))
FILE = Path("weather.csv")

TOLD: list[tuple[BacktestNote, str]] = [
    (
        UnlistedSites(FILE, 1, ("Rigde",), "Ridge"),
        'weather.csv: 1 line is left out: the sites "Rigde" are not listed. Did you mean "Ridge"?',
    ),
    (
        UnlistedSites(FILE, 12, tuple("ABCDE")),
        'weather.csv: 12 lines are left out: the sites "A", "B", "C", "D" and "E" are not listed.',
    ),
    (
        UnlistedSites(FILE, 12, tuple("ABCDEFG")),
        'weather.csv: 12 lines are left out: the sites "A", "B", "C", "D" and "E" and 2 more are not listed.',
    ),
    (Undated(FILE, 1), "weather.csv: 1 line dates nothing: a stage was not there yet, or there already."),
    (Undated(FILE, 7), "weather.csv: 7 lines date nothing: a stage was not there yet, or there already."),
    (NoEvent("Ridge"), "Ridge: left out, it has no event."),
    (NoTemperatures("Ridge"), "Ridge: left out, it has no temperatures."),
    (
        UnusableTemperatures("Ridge", "there is no usable reading."),
        "Ridge: left out, there is no usable reading.",
    ),
    (ShortRecord("Ridge", 5), "Ridge: left out, it has temperatures of less than 5 years."),
    (
        SeasonsWithGaps("Ridge", SWELLING, SEASONS),
        "Ridge, Acer palmatum 01: too many days lack readings in 2003/04, 2005/06; left out.",
    ),
    (
        DatesTooFarApart("Ridge", SWELLING),
        "Ridge, Acer palmatum 01: left out, its dates lie more than half a year apart.",
    ),
    (
        NearestStage(SWELLING, 7),
        "Acer palmatum, BBCH 01: dated by the catalogue's rule for BBCH 07, the nearest stage it has.",
    ),
    (
        FittedHere(SWELLING, None, 2004),
        "Acer palmatum, BBCH 01: the catalogue has no rule for it, so one was fitted here, on dates to 2004.",
    ),
    (
        FittedHere(SWELLING, 2005, 2004),
        "Acer palmatum, BBCH 01: the catalogue's rule is fitted on dates to 2005, so one was fitted here, "
        "on dates to 2004.",
    ),
    (
        NoRule(SWELLING, None, 2004, 10),
        "Acer palmatum, BBCH 01: left out; the catalogue has no rule for it, and under 10 of its dates are "
        "in seasons with temperatures that ended by 2004.",
    ),
    (
        NoRule(SWELLING, 2005, 2004, 10),
        "Acer palmatum, BBCH 01: left out; the catalogue's rule is fitted on dates to 2005, and under 10 of "
        "its dates are in seasons with temperatures that ended by 2004.",
    ),
]


@pytest.mark.parametrize(("note", "text"), TOLD)
def test_a_note_in_words(note: BacktestNote, text: str) -> None:
    assert backtest_note_text(note) == text


def test_every_kind_is_here() -> None:
    assert {type(note) for note, _ in TOLD} == set(get_args(BacktestNote))
