from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands import clock
from season_engine.note import NO_DETAILS, Note
from season_engine.workspace.workspace import load_workspace
from tests.workspaces import JOURNAL, make_two_yards, make_workspace


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    return make_workspace(tmp_path / "yard")


@pytest.fixture
def two_yards(tmp_path: Path) -> Path:
    return make_two_yards(tmp_path / "yards")


def add(folder: Path, *arguments: str, typed: str | bytes = "") -> Result:
    result = CliRunner().invoke(main, ["journal", "add", "--workspace", str(folder), *arguments], input=typed)
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def added(folder: Path) -> list[Note]:
    return [note for note in load_workspace(folder).notes if note.line > len(JOURNAL.splitlines())]


@pytest.mark.parametrize(
    ("arguments", "note", "told"),
    [
        (
            ["buds swelling on the trident"],
            Note(dt.date(2024, 3, 9), "nagano", None, "Acer buergerianum", 1),
            "noted: trident maple: buds swelling (BBCH 01), 9 Mar 2024, at nagano\n",
        ),
        (
            ["trident", "open", "--note", "at last"],
            Note(dt.date(2024, 3, 9), "nagano", None, "Acer buergerianum", 11),
            "noted: trident maple: leaves open (BBCH 11), 9 Mar 2024, at nagano\n",
        ),
        (
            ["--tree", "M1", "--bbch", "01", "--note", "buds fat"],
            Note(dt.date(2024, 3, 9), "nagano", "m1", "Japanese maple", 1),
            "noted: Rust (Japanese maple): buds swelling (BBCH 01), 9 Mar 2024, at nagano\n",
        ),
        (
            ["repotted Kettle"],
            Note(dt.date(2024, 3, 9), "nagano", "p1", "Pinus thunbergii", job="repotting"),
            "noted: Kettle (Japanese black pine): repotting, 9 Mar 2024, at nagano\n",
        ),
        (
            ["repotted p1; a third of the root ball"],
            Note(dt.date(2024, 3, 9), "nagano", "p1", "Pinus thunbergii", job="sectional-repotting"),
            "noted: Kettle (Japanese black pine): sectional-repotting (33%), 9 Mar 2024, at nagano\n",
        ),
        (
            ["repotted", "--tree", "kettle", "--note", "a third of the root ball"],
            Note(dt.date(2024, 3, 9), "nagano", "p1", "Pinus thunbergii", job="sectional-repotting"),
            "noted: Kettle (Japanese black pine): sectional-repotting (33%), 9 Mar 2024, at nagano\n",
        ),
        (
            ["not yet", "--species", "black pine"],
            Note(dt.date(2024, 3, 9), "nagano", None, "Pinus thunbergii", 1, sighting="not-yet"),
            "noted: Japanese black pine: not yet candles moving (BBCH 01), 9 Mar 2024, at nagano\n",
        ),
        (
            ["--species", "larch", "--bbch", "7", "--note", "already open"],
            Note(dt.date(2024, 3, 9), "nagano", None, "Larix decidua", 7, sighting="already"),
            "noted: European larch: already buds breaking (BBCH 07), 9 Mar 2024, at nagano\n",
        ),
        (
            ["trident already moving"],
            Note(dt.date(2024, 3, 9), "nagano", None, "Acer buergerianum", 1, sighting="already"),
            "noted: trident maple: already buds swelling (BBCH 01), 9 Mar 2024, at nagano\n",
        ),
        (
            ["wired", "--tree", "p2"],
            Note(dt.date(2024, 3, 9), "nagano", "p2", "Pinus thunbergii", job="wiring"),
            "noted: Thimble (Japanese black pine): wiring, 9 Mar 2024, at nagano\n",
        ),
        (
            ["--note", "first frost"],
            Note(dt.date(2024, 3, 9), "nagano"),
            'noted: kept as a note, "first frost", 9 Mar 2024, at nagano\n',
        ),
    ],
)
def test_a_note_is_written_and_told_back(yard: Path, arguments: list[str], note: Note, told: str) -> None:
    result = add(yard, *arguments, "--on", "2024-03-09")
    assert (result.exit_code, result.stdout) == (0, told)
    (found,) = added(yard)
    assert replace(found, note="", line=0, entered=None, details=NO_DETAILS) == note
    assert found.note
    assert found.entered == clock.today()


def test_a_note_is_of_today_unless_said(yard: Path) -> None:
    assert add(yard, "trident open").exit_code == 0
    assert added(yard)[0].date == clock.today()


def test_a_reply_is_taken_whole(yard: Path) -> None:
    quoted = "> Is the pine moving?\r\n  > Look at it.\r\n"
    reply = f"\ufefftrident open\r\n\r\n{quoted}pine not yet moving\r\nfed Kettle"
    result = add(yard, "--on", "2024-03-09", typed=reply)
    assert result.exit_code == 0
    assert [(note.bbch, note.job) for note in added(yard)] == [(11, None), (1, None), (None, "feeding")]
    assert result.stdout.count("noted: ") == 3


def test_of_a_reply_not_understood_nothing_is_written_and_each_fault_told(yard: Path) -> None:
    before = (yard / "journal.csv").read_bytes()
    result = add(yard, typed="trident open\n> quoted\n\ntridant open\nhm, not yet\n")
    assert result.exit_code == 2
    assert result.stderr.splitlines() == [
        'line 4: "tridant open" is not understood: it names no tree and no stage or job. '
        'Did you mean "trident"?',
        'line 5: "not yet: hm, not yet" names no tree and no species. Name one, or give --tree or --species.',
        "Nothing was written.",
    ]
    assert (yard / "journal.csv").read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "typed", "said"),
    [
        (["trident open", "--on", "2199-01-01"], "", "2199-01-01 has not come yet"),
        (["trident open", "--on", "today"], "", "is not a date"),
        (["spruce open"], "", 'could be "Engelmann spruce", "Ezo spruce"'),
        (["not yet"], "", '"not yet" names no tree and no species'),
        (["--bbch", "7"], "", "names no tree and no species"),
        (["--species", "oke", "--bbch", "7"], "", 'no species "oke"'),
        (["--tree", "p9", "--bbch", "7"], "", 'no tree "p9"'),
        (["--tree", "p1", "--species", "larch", "--bbch", "7"], "", "not both"),
        (["trident open", "--bbch", "7"], "", "not both"),
        (["trident open", "--species", "black pine"], "", "names another tree or species"),
        (["repotted Kettle", "--tree", "p2"], "", "names another tree or species"),
        (["--job", "singing", "--tree", "p1"], "", 'no job "singing"'),
        (["--bbch", "100", "--tree", "p1"], "", "100 is not in the range"),
        (["trident open; \x07"], "", "control character"),
        (["not yet", "--species", "laurel fig"], "", '"not yet" alone could be any stage'),
        (["not yet", "--tree", "u1"], "", '"not yet" alone could be any stage'),
        (["trident open", "--site", "nagaano"], "", 'Did you mean "nagano"?'),
        ([], "", "There is nothing to note"),
        ([], "> all of it quoted\n", "There is nothing to note"),
        ([], b"trident open\n\xff\n", "not UTF-8"),
    ],
)
def test_refusals_exit_2_and_write_nothing(
    yard: Path, arguments: list[str], typed: str | bytes, said: str
) -> None:
    result = add(yard, *arguments, typed=typed)
    assert result.exit_code == 2
    assert said in result.stderr
    assert (yard / "journal.csv").read_text("utf-8") == JOURNAL


def test_not_yet_asks_for_the_stage_that_comes_next_this_season(yard: Path) -> None:
    """A maple's windows turn on its buds swelling (01) and its green tips (09)."""
    not_yet = ("not yet", "--tree", "m1", "--on")
    assert add(yard, *not_yet, "2024-03-09").exit_code == 0
    assert add(yard, "m1 swelling", "--on", "2024-03-20").exit_code == 0
    assert add(yard, *not_yet, "2024-03-21").exit_code == 0
    assert add(yard, *not_yet, "2024-03-19").exit_code == 0  # what came later was not known then
    assert add(yard, *not_yet, "2025-03-01").exit_code == 0  # a new season
    assert [note.bbch for note in added(yard)] == [1, 1, 9, 1, 1]


def test_not_yet_on_a_tree_that_flowers_before_it_leafs(yard: Path) -> None:
    """An apricot is repotted from petal fall (67) until its leaves open (10)."""
    not_yet = ("not yet", "--species", "flowering apricot", "--on")
    assert add(yard, *not_yet, "2024-02-09").exit_code == 0
    assert add(yard, "apricot petals off", "--on", "2024-03-01").exit_code == 0
    assert add(yard, *not_yet, "2024-03-02").exit_code == 0
    assert [note.bbch for note in added(yard)] == [67, 69, 10]


def test_a_faulty_journal_is_refused_with_its_line(yard: Path) -> None:
    with (yard / "journal.csv").open("a", encoding="utf-8") as file:
        file.write("2024-13-01,nagano,m1,,01,,\n")
    result = add(yard, "trident open")
    assert result.exit_code == 2
    assert "journal.csv, line 6, date: date names a day that does not exist" in result.stderr


def test_with_several_sites_a_tree_decides_and_a_species_alone_does_not(two_yards: Path) -> None:
    assert add(two_yards, "repotted Kettle", "--on", "2024-03-09").stdout.endswith("at nagano\n")
    refused = add(two_yards, "trident open")
    assert refused.exit_code == 2
    assert "They are nagano, kagoshima." in refused.stderr
    assert add(two_yards, "trident open", "--site", "Kagoshima").stdout.endswith("at kagoshima\n")


def test_the_demo_keeps_no_notes(tmp_path: Path) -> None:
    result = add(tmp_path, "trident open")
    assert result.exit_code == 2
    assert "There is no season.toml here, and the demo keeps no notes." in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_workspace_without_a_journal_gets_one(yard: Path) -> None:
    (yard / "journal.csv").unlink()
    assert add(yard, "trident open").exit_code == 0
    assert [note.species for note in load_workspace(yard).notes] == ["Acer buergerianum"]


def test_what_was_noted_moves_the_dates_and_check_says_so(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def check() -> str:
        asked = ("repotting", "--species", "Acer buergerianum", "--on", "2024-02-20")
        return CliRunner().invoke(main, ["check", *asked, "--workspace", str(yard)]).stdout

    assert "notes of yours" not in check()
    assert add(yard, "buds swelling on the trident", "--on", "2020-04-20").exit_code == 0
    assert "notes of yours" not in check()  # it was written long after the day that is judged
    for day in ("2021-04-20", "2022-04-20", "2023-04-20"):
        monkeypatch.setenv(clock.VARIABLE, f"{day}T12:00:00")
        assert add(yard, "buds swelling on the trident").exit_code == 0
    assert "By 3 notes of yours it runs" in check()
