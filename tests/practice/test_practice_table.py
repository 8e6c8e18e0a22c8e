"""Growers' dates are read whole, each row finds its answer, and errors are counted right."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace
from typing import get_args

import pytest

from season_engine.files.toml_lines import TomlText
from season_engine.phenology.dating import date_markers
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.windows.assess import Prospect
from season_engine.windows.opening import open_window
from tests.practice.climates import CLIMATES, FIRST_DAY, view
from tests.practice.ends import End, State, _of_window, ends_by, practice_ends, windows_of
from tests.practice.left_out import better_numbers, left_out, number_behind
from tests.practice.mapping import Moment, Stage, Windows, answer_to, species_of
from tests.practice.south import JULY_DAYS, PINES, southern_winters
from tests.practice.table import Row, days_after, practice_rows

ROWS = practice_rows()
# Rows that nothing in the catalogue can answer, by job, window and species, and why.
UNANSWERED: dict[tuple[str, str, str], str] = {}
ROW = Row("repotting", "spring", "Acer buergerianum", "EUR", "03-05", "04-13", 65, "", (), "")


def row_of(job: str, window: str, species: str, climate: str) -> Row:
    key = job, window, species, climate
    (row,) = (row for row in ROWS if (row.job, row.window, row.species, row.climate) == key)
    return row


def test_both_tables_are_there_whole() -> None:
    counts = Counter(row.climate for row in ROWS)
    assert counts == {"SAP": 64, "NAG": 67, "TOK": 70, "NEW": 67, "EUR": 67, "SOUTH": 17}
    assert set(counts) == set(CLIMATES)
    keys = [(row.job, row.window, row.species, row.climate) for row in ROWS]
    assert len(set(keys)) == len(keys)


def test_each_row_is_sound() -> None:
    for row in ROWS:
        assert 0 < row.length_days <= 180, row
        assert 0 < row.certainty <= 100, row
        assert bool(row.ends_left_out) == bool(row.left_out), row


def test_each_row_is_answered_by_what_the_shipped_catalogue_has_or_listed_with_a_reason() -> None:
    unanswered = set()
    for row in ROWS:
        species, answer = load_catalogue().find(species_of(row)), answer_to(row)
        match answer:
            case Stage(marker):
                assert marker in species.markers, row
            case Moment(job, name, _):
                assert windows_of(species, job, (name,)), row
            case Windows(job, names):
                assert len(windows_of(species, job, names)) == len(names), row
            case None:
                unanswered.add((row.job, row.window, row.species))
    assert unanswered == set(UNANSWERED)


def test_each_row_gives_its_ends_and_none_is_dropped() -> None:
    ends = practice_ends()
    by_row = Counter(end.row for end in ends)
    assert set(by_row) == set(ROWS)
    for end in ends:
        assert end.state in get_args(State)
        assert (end.error_days is not None) == (end.engine is not None)
        assert end.engine is not None or end.state != "counted"
        assert end.why or end.state in ("counted", "not here")
        assert by_row[end.row] == (1 if end.which == "comes" else 2)
    assert {end.row for end in ends if end.state == "left out"} == {row for row in ROWS if row.left_out}


@pytest.mark.parametrize(
    ("found", "growers", "days"),
    [
        (dt.date(2026, 3, 10), "03-05", 5),
        (dt.date(2026, 2, 20), "03-05", -13),
        (dt.date(2024, 3, 1), "02-28", 1),  # a leap day between counts for nothing
        (dt.date(2026, 1, 3), "12-30", 4),  # over the year's end, either way
        (dt.date(2025, 12, 30), "01-03", -4),
        (dt.date(2026, 7, 2), "01-01", 182),
        (dt.date(2026, 7, 3), "01-01", -182),
    ],
)
def test_days_from_a_growers_date(found: dt.date, growers: str, days: int) -> None:
    assert days_after(found, growers) == days


def test_length_and_middle_of_a_row_over_the_years_end() -> None:
    row = replace(ROW, opens="12-24", closes="01-18")
    assert (row.length_days, row.middle) == (25, "01-05")


def test_a_closing_half_a_year_late_is_not_early() -> None:
    opens, closes = _of_window(ROW, (dt.date(2026, 3, 1), dt.date(2026, 12, 1)))
    assert (opens.error_days, closes.error_days) == (-4, 232)


def test_a_made_up_error_is_found_to_the_day() -> None:
    """Usual dates worked out as in the engine's own tests of growers' dates, then put off."""
    species = load_catalogue().find("Acer buergerianum")
    window = next(one for one in species.windows if (one.job, one.name) == ("repotting", "spring"))
    usual = open_window(date_markers(species, view("EUR").past), window.opens, window.closes)
    dates = usual.opened_by(0.5), usual.closed_by(0.5)
    off = (dates[0] - dt.timedelta(days=5), dates[1] + dt.timedelta(days=12))
    ends = practice_ends(rows=[replace(ROW, opens=f"{off[0]:%m-%d}", closes=f"{off[1]:%m-%d}")])
    assert [(end.which, end.engine, end.error_days) for end in ends] == [
        ("opens", dates[0], 5),
        ("closes", dates[1], -12),
    ]


def test_a_stage_and_a_move_are_held_against_the_middle() -> None:
    species = load_catalogue().find("Acer buergerianum")
    prospect = Prospect(view("EUR"), species)
    (stage,) = ends_by(ROW, Stage("buds_swelling"), prospect)
    assert (stage.which, stage.growers, stage.state) == ("comes", "03-24", "counted")
    assert stage.error_days == days_after(stage.engine, "03-24")
    shelter = next(one for one in species.windows if one.job == "winter-shelter")
    for end, by in (("opens", "opened_by"), ("closes", "closed_by")):
        (moved,) = ends_by(ROW, Moment("winter-shelter", shelter.name, end), prospect)
        assert moved.engine == getattr(prospect.past_opening(shelter), by)(0.5)


def test_several_windows_count_from_the_first_opening_to_the_last_closing() -> None:
    prospect = Prospect(view("EUR"), load_catalogue().find("Fagus sylvatica"))
    both = ends_by(ROW, Windows("repotting", ("before swelling", "at first green")), prospect)
    first = ends_by(ROW, Windows("repotting", ("before swelling",)), prospect)
    last = ends_by(ROW, Windows("repotting", ("at first green",)), prospect)
    assert [end.engine for end in both] == [first[0].engine, last[1].engine]


def test_a_window_that_does_not_come_is_not_here() -> None:
    row = row_of("winter cover", "coming out", "Satsuki azalea", "TOK")
    (end,) = practice_ends(rows=[replace(row, climate="SOUTH")])
    assert (end.state, end.engine, end.error_days) == ("not here", None, None)


def test_what_the_catalogue_does_not_have_is_unanswered_and_says_why() -> None:
    (first, _) = practice_ends(rows=[replace(ROW, species="Acer nowhere")])
    assert (first.state, first.why) == ("unanswered", "the catalogue has no Acer nowhere")
    (first, _) = practice_ends(rows=[replace(ROW, job="juggling")])
    assert (first.state, first.why) == ("unanswered", "nothing in the catalogue is named for it")
    prospect = Prospect(view("EUR"), load_catalogue().find("Olea europaea"))
    for answer, why in (
        (Windows("decandling", ("a", "b")), "Olea europaea has no decandling a, b"),
        (Moment("decandling", "a", "opens"), "Olea europaea has no decandling a"),
        (Stage("candles_moving"), "Olea europaea has no marker candles_moving"),
    ):
        assert {(end.state, end.why) for end in ends_by(ROW, answer, prospect)} == {("unanswered", why)}


def test_an_end_that_is_left_out_keeps_its_error_and_does_not_count() -> None:
    opens, closes = practice_ends(rows=[row_of("repotting", "spring", "Acer palmatum", "TOK")])
    assert (opens.state, closes.state) == ("left out", "counted")
    assert opens.why and opens.error_days is not None


CHANGED = """
[species."Acer buergerianum".marker.leaves_open]
kind = "days_after"
label = "three weeks after buds swelled"
after = "buds_swelling"
days = 21
from = "practice"

[[species."Pinus radiata".window]]
job = "structural-pruning"
name = "autumn"
opens = ["autumn"]
closes = ["july_over"]

[species."Pinus radiata".marker.july_over]
kind = "season_day"
label = "July is over"
day = 122
from = "practice"
"""


def test_a_changed_catalogue_is_held_against_the_table() -> None:
    changed = Catalogue((TomlText("changed.toml", CHANGED),))
    opens, closes = practice_ends(changed, [ROW])
    usual = practice_ends(rows=[ROW])
    assert opens == usual[0] and closes != usual[1]
    assert abs((closes.engine - opens.engine).days - 21) <= 1  # medians of each end


def test_southern_winters_are_told_year_by_year() -> None:
    winters = southern_winters()
    assert Counter(winter.species for winter in winters) == dict.fromkeys(PINES, 30)
    assert {winter.year for winter in winters} == set(range(FIRST_DAY.year, FIRST_DAY.year + 30))
    assert {winter.july_days_open <= JULY_DAYS for winter in winters} == {True}
    for winter in winters:
        began, repotted = winter.pruning_opens, winter.repotting_opens
        assert repotted is None or began < repotted < dt.date(repotted.year, 9, 30)


def test_a_pine_that_is_pruned_through_july_is_found_to_be() -> None:
    """1 April and 122 days is 1 August, the first day after July."""
    changed = southern_winters(Catalogue((TomlText("changed.toml", CHANGED),)))
    radiata = [winter for winter in changed if winter.species == "Pinus radiata"]
    assert {winter.july_days_open for winter in radiata} == {JULY_DAYS}
    assert [winter.as_practised for winter in radiata] == [bool(winter.repotting_opens) for winter in radiata]


# --- a climate left out ------------------------------------------------------------------------------------


def of_trident() -> list[End]:
    """Ends of the trident's spring repotting."""
    key = "repotting", "spring", "Acer buergerianum"
    return practice_ends(rows=[row for row in ROWS if (row.job, row.window, row.species) == key])


def test_a_number_set_elsewhere_does_not_see_the_climate_it_is_held_against() -> None:
    """Growers' date in one climate moved by weeks: the number set elsewhere stays where it was."""
    ends = of_trident()
    closes = next(end for end in ends if end.which == "closes" and end.row.climate == "TOK")
    later = replace(closes.row, closes="06-05")
    moved = [end if end is not closes else replace(end, row=later, error_days=-60) for end in ends]
    plain, away = (
        next(one for one in left_out(those) if (one.end.which, one.end.row.climate) == ("closes", "TOK"))
        for those in (ends, moved)
    )
    assert abs(plain.unseen_days) < 21 < 50 < -away.unseen_days


def test_the_number_an_end_hangs_on_is_the_one_that_decides_it() -> None:
    row = row_of("repotting", "spring", "Acer buergerianum", "EUR")
    file, marker = number_behind(row, "closes") or ("", "")
    assert file.endswith("trident_maple.toml") and marker == "leaves_open"
    fitted = row_of("stage", "first flowers", "Prunus mume", "TOK")
    assert number_behind(fitted, "comes") is None  # on stations' dates: not ours to move


def test_numbers_that_would_be_nearer_are_told_with_how_much_nearer() -> None:
    told = list(better_numbers(of_trident(), by_days=0.0))
    assert told and all(one.better_days <= one.error_days for one in told)
    assert {one.field for one in told} <= {"need", "level_c", "days", "share", "hours"}
