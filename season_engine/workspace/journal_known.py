"""The lines of the journal as they stood on a day, those taken back among them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.note import Note, taken_back


@dataclass(frozen=True, slots=True)
class JournalLine:
    """A line, and the day it was taken back if it was."""

    note: Note
    taken_back: dt.date | None = None


def lines_known(notes: Sequence[Note], on: dt.date) -> list[JournalLine]:
    """The lines that were there on `on`, withdrawals left out, the newest last."""
    there = [note for note in notes if note.known_from <= on]
    taken = {line: there[withdrawal].known_from for withdrawal, line in taken_back(there).items()}
    lines = (JournalLine(note, taken.get(place)) for place, note in enumerate(there) if not note.withdraws)
    return sorted(lines, key=lambda line: (line.note.date, line.note.line))


def last_entered(notes: Sequence[Note], on: dt.date) -> Note | None:
    """Of the lines that stand, the one entered last by `on`; None where there is none."""
    standing = (line.note for line in lines_known(notes, on) if line.taken_back is None)
    return max(standing, key=lambda note: (note.known_from, note.line), default=None)
