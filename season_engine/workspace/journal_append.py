"""Adding lines to journal.csv: never a torn one, never one lost, whoever else is writing."""

from __future__ import annotations

import csv
import io
import os
import unicodedata
from collections.abc import Iterable, Sequence
from pathlib import Path

import filelock

from season_engine.errors import GrowerError
from season_engine.files.csv_rows import Sheet
from season_engine.files.foreign_csv import LONGEST_LINE, delimiter_of
from season_engine.files.text import read_content, shortened
from season_engine.files.whole import append_whole, write_whole
from season_engine.note import Note
from season_engine.tree import Tree
from season_engine.workspace.journal import COLUMNS, REQUIRED, read_journal

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
    lock = filelock.FileLock(
        path.with_name(f".{path.name}.lock"), timeout=PATIENCE_S, poll_interval=LOOK_AGAIN_S
    )
    try:
        with lock:
            if os.path.lexists(path):
                append_whole(path, _new_lines(path, notes, sites, trees))
            else:
                write_whole(path, _lines(notes, COLUMNS, header=True))
    except filelock.Timeout:
        raise GrowerError("Another program is writing this file.", hint="Try again.", file=path) from None
    except (OSError, NotImplementedError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"This file can't be written: {reason}.", file=path) from None


def _new_lines(path: Path, notes: Sequence[Note], sites: Sequence[str], trees: Sequence[Tree]) -> bytes:
    """The lines as this file has them, after an end for a last line that lacks one."""
    read_journal(path, sites, trees)  # a line added below a fault would be lost with it
    header = Sheet(path, COLUMNS, REQUIRED).header
    for note in notes:
        _check_columns(path, header, note, sites, trees)
    content = read_content(path)
    text = content.decode("utf-8-sig")
    line_end = "\r\n" if text.partition("\n")[0].endswith("\r") else "\n"
    mended = "" if text.endswith("\n") else line_end
    lines = mended + _lines(notes, header, delimiter=delimiter_of(text), line_end=line_end)
    return lines.encode("utf-8")


def _lines(
    notes: Iterable[Note],
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
    writer.writerows(_values(note) for note in notes)
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
        if value and column not in header and not (column == "site" and goes_without_saying):
            raise GrowerError(
                f'There is no column "{column}" for "{shortened(value)}"; nothing was written.',
                hint=f"Add {column} to the end of the first line.",
                file=path,
                line=1,
            )
