"""Why a job on a tree is due, may be done or is left, as facts: one of these decides."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.note import Sign
from season_engine.species.needs import NeedState
from season_engine.species.schema import Years
from season_engine.tree import Stage
from season_engine.trees.programme import Programme
from season_engine.trees.spacing import Bar


@dataclass(frozen=True, slots=True)
class ToRescue:
    """Its roots are dying, and in whatever year it is, something has to be done."""

    signs: frozenset[Sign]


@dataclass(frozen=True, slots=True)
class Sick:
    """It has been ill since that day."""

    since: dt.date


@dataclass(frozen=True, slots=True)
class Weak:
    """It is weak, and the job doesn't help it."""


@dataclass(frozen=True, slots=True)
class Barred:
    """Something done to it keeps the job from it for now."""

    bar: Bar


@dataclass(frozen=True, slots=True)
class ByYears:
    """So many years are between two repottings of such a tree."""

    last: dt.date
    years: Years
    state: NeedState


@dataclass(frozen=True, slots=True)
class BySigns:
    """What is seen at its roots says more than the years."""

    signs: frozenset[Sign]
    last: dt.date | None


@dataclass(frozen=True, slots=True)
class NoDateKnown:
    """Nobody said when it was repotted last."""


@dataclass(frozen=True, slots=True)
class OldAndUnknown:
    """An old conifer of which nobody said when it was repotted last: it is lifted and looked at first."""


@dataclass(frozen=True, slots=True)
class InParts:
    """Its root ball is renewed in so many parts, never the whole."""

    parts: int


@dataclass(frozen=True, slots=True)
class Part:
    """The next part of its root ball, where there is one and nothing stops the programme."""

    programme: Programme


@dataclass(frozen=True, slots=True)
class ByStage:
    """How far the tree is on its way decides."""

    stage: Stage
    state: NeedState


@dataclass(frozen=True, slots=True)
class WouldBar:
    """It would keep a greater job from the tree, which that is due for."""

    job: str
    opens: dt.date


NeedWhy = (
    ToRescue
    | Sick
    | Weak
    | Barred
    | ByYears
    | BySigns
    | NoDateKnown
    | OldAndUnknown
    | InParts
    | Part
    | ByStage
    | WouldBar
)
