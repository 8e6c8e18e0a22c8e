"""What was seen or done on a day, as a grower noted it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from season_engine.pot import Pot

LAST_STAGE = 99  # BBCH
# Of a stage, on the day it is noted: it came, was looked for in vain, or had come on some day before.
Sighting = Literal["seen", "not-yet", "already"]
Amount = Literal["light", "medium", "heavy"]  # how much of a tree's strength a job took
# Of trouble at the roots; the last three mean that the tree is dying of it.
Sign = Literal[
    "drains slowly",
    "water runs off",
    "roots lift",
    "roots ring",
    "pale shoots",
    "dries fast",
    "sour smell",
    "roots rotten",
    "water stands",
]
DYING: frozenset[Sign] = frozenset({"sour smell", "roots rotten", "water stands"})
# What a tree is from that day on: its strength, its health, its stage; or where it came from and went.
State = Literal[
    "weak",
    "normal",
    "strong",
    "sick",
    "well",
    "young",
    "training",
    "refined",
    "old",
    "arrived",
    "arrived from the other hemisphere",
    "collected",
    "given away",
    "dead",
]
LEFT: tuple[State, ...] = ("dead", "given away")
Off = Literal["wire", "ties", "cover"]  # what was taken off it again


@dataclass(frozen=True, slots=True)
class Details:
    """What a note says beside its stage and its job."""

    amount: Amount | None = None  # of the job; None: nobody said
    share: float | None = None  # of the roots or of the foliage that the job took
    side: str = ""  # of the tree or its root ball, in the grower's words
    signs: frozenset[Sign] = frozenset()
    states: frozenset[State] = frozenset()
    off: frozenset[Off] = frozenset()
    pot: str = ""  # the new one, in the grower's words
    pot_size: Pot | None = None  # where the words give one
    moved_to: str = ""  # the yard, as season.toml spells it
    season: Literal["good", "bad"] | None = None  # how the year went for the tree
    went: Literal["well", "badly"] | None = None  # how a job turned out


NO_DETAILS = Details()


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
    details: Details = field(default=NO_DETAILS)
    entered: dt.date | None = None  # when it was written down; None: on its date
    withdraws: bool = False  # takes back the line before it that says the same

    @property
    def known_from(self) -> dt.date:
        """The first day on which it was there to be read."""
        return max(self.date, self.entered or self.date)

    @property
    def left(self) -> State | None:
        """How its tree went for good, if it did."""
        return next((state for state in LEFT if state in self.details.states), None)

    @property
    def said(self) -> tuple[object, ...]:
        """What it says, whenever it was written; a withdrawal says what it takes back."""
        return self.date, self.site, self.tree, self.species, self.bbch, self.job, self.note


def notes_until(notes: Iterable[Note], on: dt.date, *, read_on: dt.date | None = None) -> tuple[Note, ...]:
    """The notes dated until `on`, in the order written, that were there to be read then and not taken back.

    `read_on`: the day they are read instead, for a past day as it is known since.
    """
    there = [note for note in notes if note.known_from <= (read_on or on)]
    taken = set(taken_back(there).values())
    return tuple(
        note
        for place, note in enumerate(there)
        if not note.withdraws and place not in taken and note.date <= on
    )


def taken_back(notes: Sequence[Note]) -> dict[int, int]:
    """The places of withdrawals among `notes`, each with that of the line it takes back.

    That is the last one before it that says the same, was there by then and still stands; a withdrawal
    without one is left out.
    """
    standing: dict[tuple[object, ...], list[int]] = {}
    taken: dict[int, int] = {}
    for place, note in enumerate(notes):
        alike = standing.setdefault(note.said, [])
        if not note.withdraws:
            alike.append(place)
            continue
        known = [one for one in alike if notes[one].known_from <= note.known_from]
        if known:
            alike.remove(known[-1])
            taken[place] = known[-1]
    return taken
