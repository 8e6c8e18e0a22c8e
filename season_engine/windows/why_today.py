"""Why today's advice is what it is, as facts: one of these decides."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from season_engine.note import Sign
from season_engine.trees.need_why import NeedWhy
from season_engine.windows.hazard import Hazard


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
class RescueNow:
    """The tree's roots are dying, and the window isn't open: it is rescued, and no more."""

    signs: frozenset[Sign]


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


Held = Unsure | Stale | Risky | NeedsCover | NeedsShade
WhyToday = NotOpen | HardlyEverWell | LightTrimOnly | RescueNow | NeedWhy | Held | OpenNow | ClosingNow
