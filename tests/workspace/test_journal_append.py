from __future__ import annotations

import datetime as dt
import os
import random
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from season_engine.errors import GrowerError, InputErrors
from season_engine.note import Note, notes_until
from season_engine.tree import Tree
from season_engine.workspace.journal import read_journal
from season_engine.workspace.journal_append import append_notes, append_withdrawal

PROJECT = Path(__file__).parent.parent.parent
SITES = ("ridge", "hut")
TREES = (Tree(id="T1", site="ridge", species="Acer palmatum"),)
DAY = dt.date(2024, 3, 9)
OLD_HEADER = "date,site,tree,species,bbch,job,note\n"
HEADER = OLD_HEADER.strip() + ",facts,entered,withdraws\n"
SWELLING = Note(DAY, "hut", None, "Acer buergerianum", bbch=1, note='buds fat, at "last"')
REPOTTED = Note(DAY, "ridge", "T1", "Acer palmatum", job="repotting", note="ein Topf für Ahörnchen")

EACH = 80  # lines of two programs that add at once

# A grower's program that adds line after line, and says on stdout which ones it was told are safe.
WRITER = """
import datetime as dt, sys
from pathlib import Path
from season_engine.workspace.journal import Note
from season_engine.workspace.journal_append import append_notes
from season_engine.workspace.journal_details import details_of
path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
details_of(None, "warm")  # the reader's tables are made on first use
print("ready", flush=True)
for number in range(count):
    note = Note(dt.date(2024, 3, 9), "hut", species="Larix", bbch=7, note=f"{name} {number} " + "x" * 200)
    append_notes(path, [note], ["hut"], [])
    print(number, flush=True)
"""


def add(path: Path, *notes: Note, sites: tuple[str, ...] = SITES) -> None:
    append_notes(path, notes, sites, TREES)


def read(path: Path) -> list[Note]:
    return list(read_journal(path, SITES, TREES))


def without_line(note: Note) -> tuple[object, ...]:
    return tuple(getattr(note, name) for name in Note.__slots__ if name != "line")


def start(path: Path, name: str, count: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), name, str(count)],
        env={**os.environ, "PYTHONPATH": str(PROJECT)},
        stdout=subprocess.PIPE,
        text=True,
    )


def test_notes_come_back_as_they_were_added(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    add(path, SWELLING, REPOTTED)
    add(path, REPOTTED)
    assert [without_line(note) for note in read(path)] == [
        without_line(note) for note in (SWELLING, REPOTTED, REPOTTED)
    ]
    assert path.read_text("utf-8").splitlines()[0] + "\n" == HEADER


def test_what_stands_there_is_left_alone_to_the_byte(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    before = '\ufeffDate ;NOTE; species;bbch;facts\r\n2024-01-01;"a;\r\nb";Larix;07\r\n'.encode()
    path.write_bytes(before)
    append_notes(path, [SWELLING], ("hut",), ())
    after = path.read_bytes()
    assert after.startswith(before)
    assert after[len(before) :] == b'2024-03-09;"buds fat, at ""last""";Acer buergerianum;01;none\r\n'


@pytest.mark.parametrize(
    ("header", "longer"),
    [
        ("\ufeffDate ;NOTE; species;bbch\r\n", "\ufeffDate ;NOTE; species;bbch;facts;entered\r\n"),
        ("\n\nbbch,date,note,species,,,\n", "\n\nbbch,date,note,species,facts,entered\n"),
        ("bbch,entered,date,note,species\n", "bbch,entered,date,note,species,facts\n"),
        ('"date"\t"bbch"\tspecies\tnote \t\n', '"date"\t"bbch"\tspecies\tnote\tfacts\tentered\n'),
    ],
)
def test_a_journal_begun_before_these_columns_is_given_them(tmp_path: Path, header: str, longer: str) -> None:
    """All else stays as it was to the byte, and the lines as they were read."""
    path = tmp_path / "journal.csv"
    end = "\r\n" if header.endswith("\r\n") else "\n"
    delimiter = next(one for one in ";,\t" if one in header)
    values = {"date": "2024-01-01", "bbch": "07", "species": "Larix", "note": '"a\r\n""b"""'}
    names = header.strip("\ufeff\r\n").replace('"', "").casefold().split(delimiter)
    body = delimiter.join(values.get(name.strip(), "") for name in names) + end
    path.write_bytes((header + body).encode())
    path.chmod(0o600)
    before = read_journal(path, ("hut",), ())
    append_notes(path, [replace(SWELLING, entered=DAY)], ("hut",), ())
    after = path.read_bytes()
    assert after.startswith((longer + body).encode())
    assert after.count(b"\n") == (header + body).count("\n") + 1
    *kept, added = read_journal(path, ("hut",), ())
    assert (tuple(kept), added.entered) == (before, DAY)
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_journal_that_is_a_link_stays_one(tmp_path: Path) -> None:
    (tmp_path / "elsewhere.csv").write_text(OLD_HEADER, "utf-8")
    (tmp_path / "journal.csv").symlink_to(tmp_path / "elsewhere.csv")
    add(tmp_path / "journal.csv", SWELLING)
    assert (tmp_path / "journal.csv").is_symlink()
    assert len(read(tmp_path / "elsewhere.csv")) == 1


def test_a_header_over_two_lines_is_refused_and_left(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    before = 'date,site,species,bbch,"\nnote"\n'
    path.write_text(before, "utf-8")
    with pytest.raises(GrowerError, match="Add facts to its end"):
        add(path, SWELLING)
    assert path.read_text("utf-8") == before


def test_a_longer_header_that_can_t_be_written_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "journal.csv"
    before = OLD_HEADER + "2024-01-01,hut,,Larix,07,,\n"
    path.write_text(before, "utf-8")

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(GrowerError, match="No space left"):
        add(path, SWELLING)
    assert path.read_text("utf-8") == before
    assert {one.name for one in tmp_path.iterdir()} <= {"journal.csv", ".journal.csv.lock"}


def test_a_line_is_taken_back_by_one_that_says_the_same(tmp_path: Path) -> None:
    """Whatever becomes of trees.csv: the columns are copied as they stand."""
    path = tmp_path / "journal.csv"
    text = OLD_HEADER + '2024-03-01,,T1,,,repotting,"a; ""b"",\nc"\n2024-03-02,hut,,Larix,7,,\n'
    path.write_text(text, "utf-8")
    later = dt.date(2024, 3, 20)
    assert append_withdrawal(path, 2, later, SITES, TREES).job == "repotting"
    assert path.read_text("utf-8").endswith(
        '2024-03-02,hut,,Larix,7,,\n2024-03-01,,T1,,,repotting,"a; ""b"",\nc",2024-03-20,yes\n'
    )
    for trees in (TREES, (replace(TREES[0], site="hut", species="Larix"),)):
        notes = read_journal(path, SITES, trees)
        assert [len(notes_until(notes, day)) for day in (later - dt.timedelta(1), later)] == [2, 1]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (1, "No note begins on this line"),
        (4, "No note begins on this line"),
        (99, "No note begins on this line"),
        (2, "taken back already"),
        (5, "takes another back"),
    ],
)
def test_what_can_t_be_taken_back_is_said_and_nothing_written(tmp_path: Path, line: int, why: str) -> None:
    path = tmp_path / "journal.csv"
    path.write_text(OLD_HEADER + '2024-03-01,,T1,,,repotting,\n2024-03-02,hut,,Larix,7,,"a\nb"\n', "utf-8")
    append_withdrawal(path, 2, DAY, SITES, TREES)
    before = path.read_bytes()
    with pytest.raises(GrowerError, match=why):
        append_withdrawal(path, line, DAY, SITES, TREES)
    assert path.read_bytes() == before


def test_a_line_dated_ahead_can_be_taken_back(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    add(path, replace(SWELLING, date=DAY + dt.timedelta(30)))
    append_withdrawal(path, 2, DAY, SITES, TREES)
    assert notes_until(read(path), DAY + dt.timedelta(60)) == ()


def test_a_last_line_without_an_end_is_given_one(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    path.write_text(HEADER + "2024-01-01,hut,,Larix,07,,", "utf-8")
    add(path, SWELLING)
    assert [note.species for note in read(path)] == ["Larix", "Acer buergerianum"]
    path.write_text(HEADER.strip(), "utf-8")
    add(path, SWELLING)
    assert [note.species for note in read(path)] == ["Acer buergerianum"]


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (OLD_HEADER + "2024-01-01,hut,,Larix,07,,\n2024-01-0", 3),  # torn by a power cut
        (HEADER + '2024-01-01,hut,,Larix,07,,"no end\n', 2),
        (HEADER + "2024-01-01,nowhere,,Larix,07,,\n", 2),
        ("when,what\n", 1),
    ],
)
def test_a_faulty_file_is_refused_with_its_line_and_left_alone(
    tmp_path: Path, content: str, line: int
) -> None:
    path = tmp_path / "journal.csv"
    path.write_text(content, "utf-8")
    with pytest.raises(InputErrors) as caught:
        add(path, SWELLING)
    assert caught.value.errors[0].line == line
    assert path.read_text("utf-8") == content


def test_a_column_that_is_missing_is_named_and_nothing_written(tmp_path: Path) -> None:
    path = tmp_path / "journal.csv"
    path.write_text("date,site,species\n", "utf-8")
    with pytest.raises(GrowerError, match='no column "bbch" for "01"'):
        add(path, SWELLING)
    path.write_text("date,species,bbch,note\n", "utf-8")
    with pytest.raises(GrowerError, match='no column "site" for "hut"'):
        add(path, SWELLING)
    append_notes(path, [SWELLING], ("hut",), ())  # the only site goes without saying
    assert path.read_text("utf-8").splitlines()[0] == "date,species,bbch,note,facts"
    path.write_text("date,tree,job,note\n", "utf-8")
    add(path, REPOTTED)  # so does that of a tree in its place
    assert read(path)[0].site == "ridge"


@pytest.mark.parametrize("letter", ["\x07", "\x00", "\udcff"])
def test_letters_no_reader_would_take_are_refused(tmp_path: Path, letter: str) -> None:
    with pytest.raises(GrowerError, match="control character"):
        add(tmp_path / "journal.csv", Note(DAY, "hut", note=f"a{letter}b"))
    assert list(tmp_path.iterdir()) == []


def test_a_write_cut_short_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "journal.csv"
    add(path, SWELLING)
    before = path.read_bytes()
    whole = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: whole(handle, data[: len(data) // 2]))
    with pytest.raises(GrowerError, match="the disk is full"):
        add(path, SWELLING)
    monkeypatch.undo()
    assert path.read_bytes() == before


def test_a_folder_in_its_place_is_an_error_for_a_grower(tmp_path: Path) -> None:
    (tmp_path / "journal.csv").mkdir()
    with pytest.raises(GrowerError, match="can't be read"):
        add(tmp_path / "journal.csv", SWELLING)


@pytest.mark.parametrize("begun", ["", OLD_HEADER])
def test_two_programs_adding_at_once_lose_and_tear_nothing(tmp_path: Path, begun: str) -> None:
    path = tmp_path / "journal.csv"
    if begun:
        path.write_text(begun, "utf-8")
    writers = [start(path, name, EACH) for name in ("left", "right")]
    assert [len(writer.communicate()[0].splitlines()) for writer in writers] == [EACH + 1] * 2
    lines = path.read_text("utf-8").splitlines()
    expected = {f"{name} {number} {'x' * 200}" for name in ("left", "right") for number in range(EACH)}
    assert lines[0] == (f"{begun.strip()},facts" if begun else HEADER.strip())
    assert len(lines) == 2 * EACH + 1
    assert {note.note for note in read(path)} == expected
    assert [
        line for line in lines if line.startswith("2024") and line.rstrip(",").endswith("x,none")
    ] == lines[1:]


def test_killed_at_any_moment_it_loses_no_more_than_the_line_in_flight(tmp_path: Path) -> None:
    """SEASON_ENGINE_KILLS sets how often, for a longer trial by hand."""
    path = tmp_path / "journal.csv"
    chance = random.Random(1)
    safe: list[str] = []
    for round_number in range(int(os.environ.get("SEASON_ENGINE_KILLS", "8"))):
        writer = start(path, f"round {round_number}", 100_000)
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
        time.sleep(chance.uniform(0, 0.05))
        writer.kill()
        told = writer.communicate()[0].splitlines(keepends=True)
        safe += [f"round {round_number} {number.strip()}" for number in told if number.endswith("\n")]
        found = [note.note.removesuffix(" " + "x" * 200) for note in read(path)] if path.exists() else []
        in_flight = [note for note in found if note not in set(safe)]
        assert [note for note in found if note in set(safe)] == safe
        assert len(in_flight) <= 1
        safe += in_flight  # written, though nobody was told
    assert len(safe) > 20
