"""What `check --explain` says was learnt from which note."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.note import Note, Sighting
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import LearntTrail
from season_engine.windows.explain import explain
from season_engine.words.learnt import learnt_lines, learnt_sentence
from tests.yards import NAGANO, view

MAPLE = load_catalogue().find("Acer palmatum")
ON = dt.date(2021, 4, 5)  # the season of 2019/20 has just come to its end as a trace
BARE = Prospect(view(NAGANO, ON), MAPLE)
SWELLING = dict(zip(BARE.past.traces.labels.tolist(), BARE.past.plain["buds_swelling"], strict=True))


def seen(season: int, late: int, bbch: int = 1, sighting: Sighting = "seen") -> Note:
    """A stage noted so many days after the day the catalogue's rule gives bud swell in that season."""
    first = NAGANO.season_on(dt.date(season, 12, 1)).first_trace_day
    days = round(float(SWELLING[season])) + late
    leap = dt.date(season + 1, 2, 28) < first + dt.timedelta(days) and (season + 1) % 4 == 0
    return Note(first + dt.timedelta(days + leap), "nagano", "m1", MAPLE.name, bbch, sighting=sighting)


def trail(*notes: Note) -> LearntTrail:
    prospect = Prospect(view(NAGANO, ON), MAPLE, notes=notes)
    return explain(prospect, MAPLE.windows[0], 0).learnt


def said(*notes: Note) -> list[str]:
    return learnt_lines(trail(*notes), ON)


def test_without_notes_there_is_nothing_to_tell() -> None:
    assert said() == []


def test_each_note_is_told_with_what_the_rule_gave_and_what_it_counts_for() -> None:
    notes = [seen(2013, 5), seen(2019, 5), seen(2018, 6)]
    told = trail(*notes)
    assert [one.date for one in told.notes] == [note.date for note in notes]
    assert [round(one.difference_days) for one in told.notes] == [5, 5, 6]
    assert [one.age_years for one in told.notes] == [7, 1, 2]
    for one in told.notes:
        assert abs((one.date - one.rule).days - one.difference_days) <= 1
        assert one.right > 0.9
    lines = said(*notes)
    assert lines[0].startswith(f"{notes[0].date.day} ") and "m1, buds swelling (BBCH 01)" in lines[0]
    assert lines[0].endswith("five days earlier. Counts for less (35 in 100): seven years old.")
    assert lines[1].endswith("Counted fully.")


def test_what_all_notes_move_is_told_for_each_marker_and_narrows_it() -> None:
    told = trail(*(seen(year, 6) for year in range(2010, 2020)))
    moved = {one.marker: one for one in told.markers}
    assert {"buds_swelling", "leaves_open"} <= set(moved)
    assert moved["buds_swelling"].days == pytest.approx(told.shift_days, abs=0.5)
    assert 4 < told.shift_days < 6
    assert moved["buds_swelling"].sd_after_days < moved["buds_swelling"].sd_before_days == 7.5
    assert any(line.startswith("Together: five days later than in the catalogue") for line in
               learnt_lines(told, ON))  # fmt: skip


def test_a_note_far_from_the_rest_is_called_a_slip() -> None:
    notes = [*(seen(year, 2) for year in (2017, 2018, 2019)), seen(2016, 43)]
    told = trail(*notes)
    assert [one.right > 0.5 for one in told.notes] == [True, True, True, False]
    assert "Taken for a slip: 4" in said(*notes)[3] and "days from the rest" in said(*notes)[3]


def test_notes_that_are_not_used_say_why() -> None:
    lines = said(
        seen(2018, 20, bbch=61),
        seen(2018, 0, sighting="not-yet"),
        Note(dt.date(2021, 2, 20), "nagano", None, MAPLE.name, 1, sighting="not-yet"),
        Note(dt.date(1950, 4, 1), "nagano", None, MAPLE.name, 1),
    )
    assert "no marker of this species stands for that stage" in lines[0]
    assert "of a past season it tells no date" in lines[1]
    assert "not yet buds swelling (BBCH 01): Counted in as this season's." in lines[2]
    assert "no weather of that season to hold it against" in lines[3]
    assert len(lines) == 4, "nothing is said to have moved"


def test_own_dates_are_said_to_be_such_and_what_goes_by_them() -> None:
    fallen = [Note(dt.date(year, 12, 1), "nagano", None, MAPLE.name, 97) for year in range(2015, 2020)]
    window = next(one for one in MAPLE.windows if "leaves_fallen" in one.opens)
    prospect = Prospect(view(NAGANO, ON), MAPLE, notes=fallen)
    lines = learnt_lines(explain(prospect, window, 0).learnt, ON)
    assert "among your own dates; the catalogue's rule usually gives 23 Nov" in lines[0]
    (last,) = [line for line in lines if line.startswith("leaves_fallen")]
    assert "by your own dates, as the weather of past seasons tells no more of it" in last
    told = learnt_sentence(assess(prospect, window).learnt)
    assert told == "Dated by your notes alone, since weather tells no more of it: the leaves are down."
