"""The record of what goes to whom: a small database, so that a run may be stopped at any moment.

A letter is queued before the first attempt and settled right after the reader's side has answered. A run
stopped between that answer and the record sends the letter again, under the same Message-ID.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from season_engine.errors import DeliveryError

State = Literal["queued", "sent", "refused", "dropped"]

FILE = "outbox.sqlite"
_TABLE = """
CREATE TABLE IF NOT EXISTS letter (
    week TEXT NOT NULL, addressee TEXT NOT NULL, part TEXT NOT NULL, again INTEGER NOT NULL,
    as_of TEXT NOT NULL, message BLOB NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('queued', 'sent', 'refused', 'dropped')), note TEXT NOT NULL,
    PRIMARY KEY (week, addressee, part, again)
)
"""
_COLUMNS = "week, addressee, part, again, as_of, message, state, note"


@dataclass(frozen=True, slots=True)
class Letter:
    """One week's report for one addressee: a mail address, or the folder that gets a copy."""

    week: str  # 2026-W33
    addressee: str
    part: str  # names of the sites asked for with --site; empty: all that the addressee gets
    again: int  # 0 the first time, then counted by --again
    as_of: str  # the day it was written
    message: bytes = b""  # the mail as it goes out; emptied once it is settled
    state: State = "queued"
    note: str = ""  # why it was refused or dropped


class Outbox:
    """The letters of one workspace; each change is written at once and whole."""

    def __init__(self, database: sqlite3.Connection) -> None:
        self._database = database

    def last(self, week: str, addressee: str, part: str) -> Letter | None:
        """The newest letter of that week to that addressee, whatever became of it."""
        where = "week = ? AND addressee = ? AND part = ? ORDER BY again DESC LIMIT 1"
        return next(iter(self._letters(where, week, addressee, part)), None)

    def queued(self) -> list[Letter]:
        """All letters still to go, the oldest first."""
        return self._letters("state = 'queued' ORDER BY week, addressee, part, again")

    def refused(self, week: str) -> list[Letter]:
        """The letters of a week whose addressee's side turned them down for good, and nothing went since."""
        found = self._letters("state = 'refused' AND week = ? ORDER BY addressee, part, again", week)
        return [one for one in found if self.last(week, one.addressee, one.part) == one]

    def put(self, letter: Letter) -> None:
        """Add the letter, or replace the one of the same week, addressee, part and count."""
        values = (
            letter.week, letter.addressee, letter.part, letter.again,
            letter.as_of, letter.message, letter.state, letter.note,
        )  # fmt: skip
        self._database.execute(f"INSERT OR REPLACE INTO letter ({_COLUMNS}) VALUES (?,?,?,?,?,?,?,?)", values)

    def settle(self, letter: Letter, state: State, note: str = "") -> None:
        """Write down what became of a letter."""
        self._database.execute(
            "UPDATE letter SET state = ?, note = ?, message = x'' "
            "WHERE week = ? AND addressee = ? AND part = ? AND again = ?",
            (state, note, letter.week, letter.addressee, letter.part, letter.again),
        )

    def _letters(self, where: str, *values: str) -> list[Letter]:
        rows = self._database.execute(f"SELECT {_COLUMNS} FROM letter WHERE {where}", values)
        return [Letter(*row) for row in rows]


def unsettled(folder: Path, week: str) -> list[Letter]:
    """Letters that wait, and those that were refused in a week; none where nothing was ever sent.

    Raises DeliveryError as `open_outbox` does.
    """
    if not (folder / FILE).exists():
        return []
    with open_outbox(folder) as outbox:
        return [*outbox.queued(), *outbox.refused(week)]


@contextmanager
def open_outbox(folder: Path) -> Iterator[Outbox]:
    """The outbox in `folder`; raises DeliveryError where it can't be read or written."""
    path = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)  # it holds addresses and reports
        database = sqlite3.connect(path, isolation_level=None)
        try:
            database.execute(_TABLE)
            yield Outbox(database)
        finally:
            database.close()
    except (sqlite3.Error, OSError) as error:
        raise DeliveryError(
            f"The record of what has been sent can't be used: {error}.",
            hint="Move the file away to start a new one; this week's report then goes out once more.",
            file=path,
        ) from error
