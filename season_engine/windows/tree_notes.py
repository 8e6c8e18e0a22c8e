"""What a job that a tree may have would bring it, and what else that winter holds for it, as facts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OffLater:
    """A job that the tree won't have when its window opens, if it has the one asked about now."""

    job: str
    opens: dt.date


TreeNote = OffLater


@dataclass(frozen=True, slots=True)
class Part:
    """One job of a winter's work, and the days on which it may be done."""

    job: str
    first: dt.date
    last: dt.date


@dataclass(frozen=True, slots=True)
class Course:
    """A winter's work on one tree: what takes needles and shoots, and then its roots."""

    before: tuple[Part, ...]
    roots: Part
    large: bool = False  # a large tree takes a day for each

    @property
    def jobs(self) -> frozenset[str]:
        """All of its jobs."""
        return frozenset(part.job for part in (*self.before, self.roots))
