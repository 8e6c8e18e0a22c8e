"""Lines of the journal as they are listed, and told when one is taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from season_engine.note import NO_DETAILS, Note
from season_engine.prints.layout import wrapped
from season_engine.words.prose import plain
from season_engine.workspace.journal_facts import facts_text
from season_engine.workspace.journal_known import JournalLine
from season_engine.workspace.journal_words import noted_stage

Subject = Callable[[Note], str]  # what a note is about, as its grower calls it


def journal_text(lines: Iterable[JournalLine], subject: Subject) -> str:
    """Each line under its number in the file: its date, what it is about, what was taken, its words."""
    told = [row for line in lines for row in _rows(line, subject)]
    return "".join(f"{row}\n" for row in told or ["No lines."])


def note_in_words(note: Note, subject: Subject) -> str:
    """``2026-03-20, Ember (Japanese maple): buds swelling (BBCH 01). "fat ones"``, wherever it stands."""
    return f"{note.date}, {_said(note, subject)}"


def _rows(line: JournalLine, subject: Subject) -> list[str]:
    lead = f"{line.note.line:>5}  {line.note.date}  "
    mark = f"Taken back {line.taken_back}: " if line.taken_back else ""
    return wrapped(mark + _said(line.note, subject), lead, " " * len(lead))


def _said(note: Note, subject: Subject) -> str:
    taken = [] if note.bbch is None else [noted_stage(note.sighting, note.bbch, note.species)]
    taken += [note.job] if note.job else []
    taken += [] if note.details == NO_DETAILS else facts_text(note.details).split("; ")
    about = ", ".join(filter(None, (subject(note), f"at {note.site}")))
    words = f'"{plain(note.note)}"' if note.note else ""
    return ". ".join(filter(None, (f"{about}: {', '.join(taken)}" if taken else about, words)))
