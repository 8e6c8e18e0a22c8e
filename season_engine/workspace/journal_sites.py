"""At which site a line of the journal belongs that names none, of a tree that was moved to another yard."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from season_engine.note import Note, notes_until, taken_back


def as_trees_moved(notes: Sequence[Note], without_site: Collection[int]) -> tuple[Note, ...]:
    """`notes` with those that name no site, by their line, where their tree stood as it was known then.

    A withdrawal without one has that of the line it takes back.
    """
    moves: dict[str, list[Note]] = {}
    for note in notes:
        if note.tree and note.details.moved_to:
            moves.setdefault(note.tree, []).append(note)
    if not moves:
        return tuple(notes)
    found = list(notes)
    taken = taken_back(notes)
    for place, note in enumerate(notes):
        if note.line in without_site and note.tree in moves:
            written = notes[taken.get(place, place)]
            found[place] = replace(note, site=_stood_at(written, moves[note.tree]))
    return tuple(found)


def _stood_at(note: Note, moves: Iterable[Note]) -> str:
    """Where its tree stood on its day, by what had been written when it was."""
    before = [move for move in notes_until(moves, note.known_from) if _comes_before(move, note)]
    return max(before, key=lambda move: (move.date, move.line)).details.moved_to if before else note.site


def _comes_before(move: Note, note: Note) -> bool:
    return (move.date, move.line) < (note.date, note.line)
