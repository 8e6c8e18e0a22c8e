"""Adding lines to journal.csv: never a torn one, never one lost, whoever else is writing."""

from __future__ import annotations

import csv
import datetime as dt
import io
import os
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

import filelock

from season_engine.errors import GrowerError
from season_engine.files.csv_rows import Sheet
from season_engine.files.foreign_csv import LONGEST_LINE, delimiter_of
from season_engine.files.text import read_content, shortened
from season_engine.files.whole import append_whole, write_whole
from season_engine.note import Note, taken_back
from season_engine.tree import Tree
from season_engine.workspace.journal import COLUMNS, NEW_COLUMNS, REQUIRED, read_journal
from season_engine.workspace.journal_facts import facts_text
from season_engine.workspace.journal_header import with_columns

PATIENCE_S = 15.0
LOOK_AGAIN_S = 0.01  # another writer holds the lock for some milliseconds
LONGEST_TEXT = LONGEST_LINE // 4  # quotes in it are written twice, and other fields stand beside it


def append_notes(path: Path, notes: Sequence[Note], sites: Sequence[str], trees: Iterable[Tree]) -> None:
    """Add `notes` to the journal at `path`, all or none, in the order of its own columns.

    One writer at a time holds a lock beside the file; the lines go out in one write and are on the disk when
    this returns. `sites` and `trees` are the workspace's. Raises GrowerError where the file can't be written
    or lacks a column, InputErrors with every fault that stands in it already.
    """
    trees = tuple(trees)
    for note in notes:
        _check_text(note)
    with _only_writer(path):
        if not os.path.lexists(path):
            write_whole(path, _lines(map(_values, notes), COLUMNS, header=True))
            return
        read_journal(path, sites, trees)  # a line added below a fault would be lost with it
        header = Sheet(path, COLUMNS, REQUIRED).header
        for note in notes:
            _check_columns(path, header, note, sites, trees)
        _add(path, [_values(note) for note in notes])


def append_withdrawal(
    path: Path, line: int, today: dt.date, sites: Sequence[str], trees: Iterable[Tree]
) -> Note:
    """Take back the note on that line of the journal at `path`, by adding one that withdraws it; returns it.

    What it says is copied as it stands there, so that the two stay alike whatever is changed in trees.csv.
    Raises GrowerError where no note stands there, or it is taken back already, and as `append_notes` does.
    """
    trees = tuple(trees)
    with _only_writer(path):
        note = _standing(path, read_journal(path, sites, trees), line)
        row = next(row for row in Sheet(path, COLUMNS, REQUIRED) if row.line == line)
        copied = {column: row.text(column) for column in COLUMNS}
        entered = max(today, note.known_from)  # of a line dated ahead: from then on there is nothing of it
        _add(path, [{**copied, "entered": entered.isoformat(), "withdraws": "yes"}])
    return note


def _standing(path: Path, notes: Sequence[Note], line: int) -> Note:
    place = next((place for place, note in enumerate(notes) if note.line == line), None)
    if place is None:
        hint = "`season-engine journal list` numbers the lines."
        raise GrowerError("No note begins on this line.", hint=hint, file=path, line=line)
    if notes[place].withdraws:
        hint = "To have that line again, write it anew with `season-engine journal add`."
        raise GrowerError("This line takes another back.", hint=hint, file=path, line=line)
    if place in taken_back(notes).values():
        raise GrowerError("This line is taken back already.", file=path, line=line)
    return notes[place]


@contextmanager
def _only_writer(path: Path) -> Iterator[None]:
    """Hold the lock beside the file; raises GrowerError where that or the file can't be written."""
    lock = filelock.FileLock(
        path.with_name(f".{path.name}.lock"), timeout=PATIENCE_S, poll_interval=LOOK_AGAIN_S
    )
    try:
        with lock:
            yield
    except filelock.Timeout:
        raise GrowerError("Another program is writing this file.", hint="Try again.", file=path) from None
    except (OSError, NotImplementedError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"This file can't be written: {reason}.", file=path) from None


def _add(path: Path, rows: Sequence[Mapping[str, str]]) -> None:
    """Add rows at the end of a file without faults; a new column that it lacks is added."""
    content = read_content(path)
    text = content.decode("utf-8-sig")
    header = Sheet(path, COLUMNS, REQUIRED).header
    lacking = [name for name in NEW_COLUMNS if name not in header and any(row[name] for row in rows)]
    line_end = "\r\n" if text.partition("\n")[0].endswith("\r") else "\n"
    delimiter = delimiter_of(text)
    mended = "" if text.endswith("\n") else line_end
    lines = mended + _lines(rows, [*header, *lacking], delimiter=delimiter, line_end=line_end)
    if max(map(len, lines.splitlines())) > LONGEST_LINE:
        raise GrowerError("This line is too long to be written again.", file=path)
    if not lacking:
        append_whole(path, lines)
        return
    target = path.resolve()  # where the file is a link, the link stays
    mode = target.stat().st_mode
    write_whole(target, with_columns(path, content, lacking, delimiter) + lines.encode("utf-8"))
    target.chmod(mode)


def _lines(
    rows: Iterable[Mapping[str, str]],
    columns: Sequence[str],
    *,
    delimiter: str = ",",
    line_end: str = "\n",
    header: bool = False,
) -> str:
    text = io.StringIO()
    writer = csv.DictWriter(
        text, columns, delimiter=delimiter, lineterminator=line_end, extrasaction="ignore"
    )
    if header:
        writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def _values(note: Note) -> dict[str, str]:
    return {
        "date": note.date.isoformat(),
        "site": note.site,
        "tree": note.tree or "",
        "species": "" if note.tree else note.species or "",  # a tree's own species is in trees.csv
        "bbch": "" if note.bbch is None else f"{note.bbch:02d}",
        "job": note.job or "",
        "note": note.note,
        "facts": facts_text(note.details),
        "entered": note.entered.isoformat() if note.entered else "",
        "withdraws": "yes" if note.withdraws else "",
    }


def _check_text(note: Note) -> None:
    """Refuse what a reader of the file would refuse, or what can't be written as UTF-8."""
    for column, value in _values(note).items():
        if len(value) > LONGEST_TEXT:
            problem = f"this is too long for a line of the journal: {len(value):,} characters."
            raise GrowerError(problem, hint=f"{LONGEST_TEXT:,} fit.", field=column)
        if any(unicodedata.category(letter) in ("Cc", "Cs") for letter in value):
            raise GrowerError(f'"{shortened(value)}" holds a control character.', field=column)


def _check_columns(
    path: Path, header: Sequence[str], note: Note, sites: Sequence[str], trees: Iterable[Tree]
) -> None:
    goes_without_saying = len(sites) == 1 or any(
        tree.id == note.tree and tree.site == note.site for tree in trees
    )
    for column, value in _values(note).items():
        if column in NEW_COLUMNS:
            continue  # these are added to a file that lacks them
        if value and column not in header and not (column == "site" and goes_without_saying):
            raise GrowerError(
                f'There is no column "{column}" for "{shortened(value)}"; nothing was written.',
                hint=f"Add {column} to the end of the first line.",
                file=path,
                line=1,
            )
