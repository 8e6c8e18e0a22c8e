"""What was seen or done on a day, as a grower noted it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

LAST_STAGE = 99  # BBCH
# Of a stage, on the day it is noted: it came, was looked for in vain, or had come on some day before.
Sighting = Literal["seen", "not-yet", "already"]
Weight = Literal["light", "heavy"]  # how much was taken off


@dataclass(frozen=True, slots=True)
class Note:
    """One line of the journal."""

    date: dt.date
    site: str  # as season.toml spells it
    tree: str | None = None  # a tree's id, as trees.csv spells it
    species: str | None = None  # as typed, or else that of the tree
    bbch: int | None = None  # growth stage, 0..99
    job: str | None = None  # one of JOBS
    note: str = ""
    sighting: Sighting = "seen"
    line: int = 0  # in journal.csv
    weight: Weight | None = None  # of a job; None: nobody said


def notes_until(notes: Iterable[Note], on: dt.date) -> tuple[Note, ...]:
    """The notes dated up to and including `on`, in the order written."""
    return tuple(note for note in notes if note.date <= on)
