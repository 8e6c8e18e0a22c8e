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
class Due:
    """By the years of its kind it is time to repot it."""

    last: dt.date
    least_years: int
    most_years: int


@dataclass(frozen=True, slots=True)
class NotDue:
    """Its roots were worked so lately that by the years of its kind it needn't be repotted."""

    last: dt.date
    least_years: int
    most_years: int


@dataclass(frozen=True, slots=True)
class InSections:
    """It was dug from the wild, so its root ball is renewed a part at a time, never the whole."""


TreeNote = AfterHeavy | Due | NotDue | InSections
