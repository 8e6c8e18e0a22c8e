"""What a tree's own past says of a job that it may have, as facts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AfterHeavy:
    """It had a heavy job this season, and may have this one after it only because it is noted as strong."""

    job: str
    on: dt.date


@dataclass(frozen=True, slots=True)
class RootsLast:
    """When its roots were last worked, and how often that of its kind is done."""

    last: dt.date
    least_years: int
    most_years: int


class Due(RootsLast):
    """By these years it is time to repot it."""

    __slots__ = ()


class NotDue(RootsLast):
    """Its roots were worked so lately that by these years it needn't be repotted."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class InSections:
    """It was dug from the wild, so its root ball is renewed a part at a time, never the whole."""


TreeNote = AfterHeavy | Due | NotDue | InSections
