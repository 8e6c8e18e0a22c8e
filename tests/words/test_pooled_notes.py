"""What is told of pooled notes has words, whatever it is."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import get_args

import pytest

from season_engine.prints.pooled_fit import pooled_fit_text
from season_engine.verify.notes import NoEvent
from season_engine.verify.pooled_fit import Errors, EventFit, Outcome, Slip
from season_engine.verify.pooled_notes import NotInCatalogue, OfFile, OutsideWeather, PoolNote, SameYard
from season_engine.verify.station_files import Event, Undated
from season_engine.words.pooled_notes import outcome_text, pool_note_text, slip_text

FILE = Path("mine.zip")
BUDS = Event("Acer palmatum", 1)

TOLD: list[tuple[PoolNote, str]] = [
    (OfFile(FILE, NoEvent("yard")), "mine.zip: yard: left out, it has no event."),
    (
        OfFile(FILE, Undated(FILE / "events.csv", 2)),
        "mine.zip/events.csv: 2 lines date nothing: a stage was not there yet, or there already.",
    ),
    (
        NotInCatalogue(FILE, "Arbor\nficta", 1),
        'mine.zip: the catalogue has no species "Arbor ficta"; one date left out.',
    ),
    (OutsideWeather(FILE, 13), "mine.zip: 13 dates left out, without the whole season's temperatures."),
    (SameYard("yard (a.zip)", "yard (b.zip)"), "yard (a.zip): the same yard as yard (b.zip); counted once."),
]


@pytest.mark.parametrize(("note", "line"), TOLD)
def test_what_is_left_out_has_its_line(note: PoolNote, line: str) -> None:
    assert pool_note_text(note) == line


def test_every_kind_is_here() -> None:
    assert {type(note) for note, _ in TOLD} == set(get_args(PoolNote))


@pytest.mark.parametrize(("days", "off"), [(31.2, "31 days too late"), (-27.6, "28 days too early")])
def test_a_slip_is_named_by_its_yard_stage_and_day(days: float, off: str) -> None:
    slip = Slip("yard (a.zip)", BUDS, dt.date(2021, 5, 3), days)
    line = f"yard (a.zip), Acer palmatum 01: 2021-05-03 is {off}, so it is left out as a slip."
    assert slip_text(slip) == line


def test_every_outcome_has_words_of_its_own() -> None:
    kinds = get_args(Outcome)
    told = [outcome_text(EventFit(BUDS, 2, 12, kind)) for kind in kinds]
    assert len(set(told)) == len(kinds) and all(told)


def test_a_rule_that_has_seen_the_dates_stands_in_brackets() -> None:
    fits = [
        EventFit(BUDS, 4, 31, "fitted", "buds_swelling", Errors(2.04, 5.5, 1.96, seen))
        for seen in (None, False)
    ]
    rows = [line.split() for line in pooled_fit_text(fits).splitlines() if line.strip().startswith("4")]
    assert rows == [["4", "31", "2.0", "5.5", "(2.0)"], ["4", "31", "2.0", "5.5", "2.0"]]
