"""Why today's advice is what it is, as facts: one of these decides."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from season_engine.windows.hazard import Hazard
from season_engine.windows.tree_notes import InSections, NotDue


@dataclass(frozen=True, slots=True)
class NotOpen:
    """The window is not open."""

    verdict: Literal["wait", "soon", "closed", "not-here"]


@dataclass(frozen=True, slots=True)
class HardlyEverWell:
    """It seldom goes well: the best chance, all through the window, that nothing hurts the tree."""

    at_best: float


@dataclass(frozen=True, slots=True)
class LightTrimOnly:
    """The window is closed, but a light trim of the roots may still be done, until about this day."""

    until: dt.date
    by_calendar: bool = False  # that day: the same every year


@dataclass(frozen=True, slots=True)
class DoneBefore:
    """The tree had this very job this season."""

    on: dt.date


@dataclass(frozen=True, slots=True)
class HeavyBefore:
    """The tree had another heavy job this season."""

    job: str
    on: dt.date


@dataclass(frozen=True, slots=True)
class HeavilyBefore:
    """The tree had a job this season that this one may follow, but it was noted as heavy."""

    job: str
    on: dt.date


@dataclass(frozen=True, slots=True)
class RootsBefore:
    """The tree's roots were worked this day, too lately for the job."""

    on: dt.date
    rest_days: int


@dataclass(frozen=True, slots=True)
class Weak:
    """The tree is marked weak, and the job costs strength."""


@dataclass(frozen=True, slots=True)
class Unsure:
    """The odds are too even to call the window open."""


@dataclass(frozen=True, slots=True)
class Stale:
    """The last reading is so many days old, too old to work by."""

    days: int


@dataclass(frozen=True, slots=True)
class Risky:
    """A hazard is likelier than the job allows, and nothing spares the tree that."""

    hazard: Hazard


@dataclass(frozen=True, slots=True)
class NeedsCover:
    """A hazard is likelier than the job allows, but for a tree that can stand under cover."""

    hazard: Hazard


@dataclass(frozen=True, slots=True)
class NeedsShade:
    """The sun on its pot is likelier to overheat the roots than the job allows; in shade it may be done."""

    hazard: Hazard


@dataclass(frozen=True, slots=True)
class OpenNow:
    """The window is open, and what past years brought from here on is safe enough."""


@dataclass(frozen=True, slots=True)
class ClosingNow:
    """The window is open but closing."""


# Why a tree must not be worked, whatever the dates.
Refusal = DoneBefore | HeavyBefore | HeavilyBefore | RootsBefore | Weak
Held = Unsure | Stale | Risky | NeedsCover | NeedsShade
OfRoots = NotDue | InSections  # why a tree that may be repotted by the dates isn't
WhyToday = NotOpen | HardlyEverWell | LightTrimOnly | Refusal | OfRoots | Held | OpenNow | ClosingNow
