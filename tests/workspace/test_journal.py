from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from season_engine.errors import InputErrors
from season_engine.note import NO_DETAILS, Details, Note, Sighting, notes_until
from season_engine.species.jobs import JOBS
from season_engine.tree import Tree
from season_engine.workspace.journal import read_journal

HEADER = "date,site,tree,species,bbch,job,note\n"
TREES = (
    Tree(id="T1", site="ridge", species="Acer palmatum"),
    Tree(id="t2", site="hut", species="Pinus thunbergii"),
)
DAY = dt.date(2024, 3, 9)


def read(folder: Path, text: str, sites: tuple[str, ...] = ("ridge", "hut")) -> tuple[Note, ...]:
    path = folder / "journal.csv"
    path.write_text(text, "utf-8", newline="")
    return read_journal(path, sites, TREES)


@pytest.mark.parametrize(
    ("line", "note"),
    [
        ("2024-03-09,,t1,,01,,", Note(DAY, "ridge", "T1", "Acer palmatum", bbch=1)),
        ("2024-03-09,HUT,,Larix,7,,", Note(DAY, "hut", None, "Larix", bbch=7)),
        ("2024-03-09,,t2,,,Needle work,", Note(DAY, "hut", "t2", "Pinus thunbergii", job="needle-work")),
        # a tree that stood in the other yard that day
        ("2024-03-09,hut,T1,,0,,", Note(DAY, "hut", "T1", "Acer palmatum", bbch=0)),
        ("2024-03-09,,t2,black pine,,wiring,", Note(DAY, "hut", "t2", "black pine", job="wiring")),
        ("2024-03-09,ridge,,,,,first frost", Note(DAY, "ridge", note="first frost")),
        ('2024-03-09,ridge,,,,,"<b>,\n""x"""', Note(DAY, "ridge", note='<b>,\n"x"')),
    ],
)
def test_a_line(tmp_path: Path, line: str, note: Note) -> None:
    (found,) = read(tmp_path, HEADER + line + "\n")
    assert found.line == 2
    assert found == Note(**{**{name: getattr(note, name) for name in Note.__slots__}, "line": 2})


@pytest.mark.parametrize(
    ("words", "sighting"),
    [
        ("", "seen"),
        ("swelling, not yet open", "seen"),
        ("not yet", "not-yet"),
        ("Not yet: buds tight", "not-yet"),
        ("already", "already"),
        ("ALREADY open on the south side", "already"),
        ("it was already there", "seen"),
    ],
)
def test_how_a_note_begins_says_whether_its_stage_was_seen(
    tmp_path: Path, words: str, sighting: Sighting
) -> None:
    (found,) = read(tmp_path, f'{HEADER}2024-03-09,,t1,,01,,"{words}"\n')
    assert (found.note, found.sighting) == (words, sighting)


@pytest.mark.parametrize("job", JOBS)
def test_every_job_can_be_noted(tmp_path: Path, job: str) -> None:
    assert read(tmp_path, f"{HEADER}2024-03-09,,t1,,,{job},\n")[0].job == job


def test_the_only_site_goes_without_saying(tmp_path: Path) -> None:
    assert read(tmp_path, "date,species,bbch\n2024-03-09,Larix,07\n", ("ridge",))[0].site == "ridge"


@pytest.mark.parametrize(
    ("line", "field", "words"),
    [
        (",ridge,,Larix,07,,", "date", "date is empty."),
        ("2024-03,ridge,,Larix,07,,", "date", 'must be a date; got "2024-03". Write it like 2023-03-15.'),
        ("9.3.2024,ridge,,Larix,07,,", "date", "must be a date"),
        ("2023-02-29,ridge,,Larix,07,,", "date", "does not exist"),
        ("2024-03-09,rigde,,Larix,07,,", "site", 'Did you mean "ridge"?'),
        ("2024-03-09,,,Larix,07,,", "site", "site is empty"),
        ("2024-03-09,,t3,,07,,", "tree", 'There is no tree "t3". Known: "T1" and "t2".'),
        ("2024-03-09,ridge,,Larix,100,,", "bbch", 'from 0 to 99; got "100"'),
        ("2024-03-09,ridge,,Larix,-1,,", "bbch", 'got "-1"'),
        ("2024-03-09,ridge,,Larix,7.5,,", "bbch", "whole number"),
        ("2024-03-09,ridge,,Larix,²,,", "bbch", "whole number"),
        ("2024-03-09,ridge,,Larix,swelling,,", "bbch", "01 bud swelling begins"),
        ("2024-03-09,ridge,,Larix,,reporting,", "job", 'Did you mean "repotting"?'),
        ("2024-03-09,ridge,,Larix,,zzz,", "job", "The jobs are repotting, sectional-repotting"),
        ("2024-03-09,ridge,,,07,,", "tree", "needs the tree or species"),
        ("2024-03-09,ridge,,Larix,,,", None, "This line says nothing."),
        ("2024-03-09,ridge,,Larix,07,,well, moving", None, "8 values for 7 columns"),
    ],
)
def test_a_fault_is_named_with_line_and_field(
    tmp_path: Path, line: str, field: str | None, words: str
) -> None:
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, f"{HEADER}2024-03-09,,t1,,01,,\n{line}\n")
    (error,) = caught.value.errors
    assert (error.file, error.line, error.field) == (str(tmp_path / "journal.csv"), 3, field)
    assert words in f"{error.problem} {error.hint}"


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, HEADER + "soon,,t9,,x,prune,\n2024-03-09,,t1,,01,,\n,,t1,,01,,\n")
    assert [(error.line, error.field) for error in caught.value.errors] == [
        (2, "tree"),
        (2, "date"),
        (2, "bbch"),
        (2, "job"),
        (4, "date"),
    ]


NEW_HEADER = HEADER.strip() + ",facts,entered,withdraws\n"
LINE = "2024-03-09,,t1,,,structural-pruning,thinned hard"


@pytest.mark.parametrize(
    ("line", "details"),
    [
        (f"{LINE},,,", Details(amount="heavy")),  # by its words
        (f"{LINE},none,,", NO_DETAILS),
        (f"{LINE},amount light; moved to HUT,,", Details(amount="light", moved_to="hut")),
        ("2024-03-09,,t1,,,,,weak,,", Details(states=frozenset({"weak"}))),
    ],
)
def test_facts_stand_over_the_words(tmp_path: Path, line: str, details: Details) -> None:
    (found,) = read(tmp_path, f"{NEW_HEADER}{line}\n")
    assert found.details == details


def test_a_line_is_entered_on_its_date_unless_it_says_otherwise(tmp_path: Path) -> None:
    notes = read(tmp_path, f"{NEW_HEADER}{LINE},,,\n{LINE},,2024-03-09,no\n{LINE},,2024-05-01,\n")
    assert [note.entered for note in notes] == [None, DAY, dt.date(2024, 5, 1)]
    assert [note.known_from for note in notes] == [DAY, DAY, dt.date(2024, 5, 1)]


def test_a_line_is_taken_back_by_one_alike(tmp_path: Path) -> None:
    notes = read(tmp_path, f"{NEW_HEADER}{LINE},,,\n{LINE},,,\n{LINE},none,2024-05-01,YES\n")
    assert [note.withdraws for note in notes] == [False, False, True]
    assert [note.line for note in notes_until(notes, dt.date(2024, 5, 1))] == [2]


@pytest.mark.parametrize(
    ("line", "field", "words"),
    [
        (f"{LINE},amount vast,,", "facts", '"amount vast" is no fact known here.'),
        (f"{LINE},moved to hat,,", "facts", 'The sites are "ridge" and "hut".'),
        (f"{LINE},,2024-03,", "entered", "entered must be a date"),
        (f"{LINE},,2024-03-08,", "entered", "it can't be written before it happened"),
        (f"{LINE},,,perhaps", "withdraws", 'withdraws must be "yes" or "no"'),
        (f"{LINE},,2024-04-01,yes", "withdraws", "a line that isn't there, or is taken back already"),
        ("2024-03-09,,t1,,01,,,,,yes\n2024-03-09,,t1,,01,,,,,yes", "withdraws", "taken back already"),
        ("2024-03-09,ridge,,,,,,none,,", None, "This line says nothing."),
    ],
)
def test_faults_of_these_columns(tmp_path: Path, line: str, field: str | None, words: str) -> None:
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, f"{NEW_HEADER}2024-03-09,,t1,,01,,,,,\n{line}\n")
    (error,) = caught.value.errors
    assert (error.line, error.field) == (3 + line.count("\n"), field)
    assert words in f"{error.problem} {error.hint}"


def test_a_line_without_a_site_is_of_where_its_tree_stood(tmp_path: Path) -> None:
    """As it was known when it was written: a move told later changes no line before."""
    lines = (
        "2024-03-01,,t1,,01,,,,,",
        "2024-03-05,,t1,,,,,moved to hut,,",
        "2024-03-05,,t1,,03,,,,,",
        "2024-03-07,ridge,t1,,07,,,,,",
        "2024-03-09,,t1,,11,,,,,",
        "2024-03-09,,t1,,11,,,,2024-03-20,yes",
        "2024-03-08,,t1,,,,,moved to ridge,2024-03-10,",
        "2024-03-09,,t1,,13,,,,2024-03-09,",
        "2024-03-09,,t1,,15,,,,2024-03-11,",
        "2024-03-04,,t1,,16,,,,,",
        "2024-03-09,,t2,,16,,,,,",
    )
    notes = read(tmp_path, NEW_HEADER + "\n".join(lines) + "\n")
    assert [note.site for note in notes] == [
        *("ridge", "ridge", "hut", "ridge", "hut", "hut", "hut", "hut", "ridge", "ridge", "hut"),
    ]


def test_notes_until_a_day(tmp_path: Path) -> None:
    notes = read(tmp_path, HEADER + "2024-03-10,,t1,,03,,\n2024-03-09,,t1,,01,,\n2024-03-11,,t1,,07,,\n")
    assert [note.bbch for note in notes_until(notes, dt.date(2024, 3, 10))] == [3, 1]
