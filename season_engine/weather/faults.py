"""What is wrong with readings and what was done about it: facts, which `words` makes sentences of."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

Extreme = Literal["lowest", "highest"]
EXTREMES: tuple[Extreme, Extreme] = ("lowest", "highest")


@dataclass(frozen=True, slots=True)
class BothNought:
    """Both readings are nought, as a blank field may become."""


@dataclass(frozen=True, slots=True)
class NeverReached:
    """A reading beyond what was ever measured on Earth."""

    extreme: Extreme
    reading_c: float


@dataclass(frozen=True, slots=True)
class Crossed:
    """The lowest reading is above the highest."""

    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True)
class Repeated:
    """The readings are those of earlier days again."""

    original: dt.date  # the first of these


@dataclass(frozen=True, slots=True)
class NoRange:
    """Lowest and highest are the same."""


@dataclass(frozen=True, slots=True)
class BothStoodStill:
    """Both extremes the same for so many days."""

    low_c: float
    high_c: float
    days: int


@dataclass(frozen=True, slots=True)
class OneStoodStill:
    """One extreme the same for so many days."""

    extreme: Extreme
    reading_c: float
    days: int


@dataclass(frozen=True, slots=True)
class MixedUnits:
    """Readings that are likely in one unit among those in the other."""

    low_c: float  # as they were read
    high_c: float
    reads_like: Literal["degF", "degC"]


@dataclass(frozen=True, slots=True)
class FarOff:
    """A reading far from what it is held against."""

    extreme: Extreme
    reading_c: float
    apart_c: float
    held_against: Literal["its month", "the time of year", "the days beside", "the second source"]


@dataclass(frozen=True, slots=True)
class Shifted:
    """From a day on one extreme reads higher, or lower, for good."""

    extreme: Extreme
    shift_c: float  # above 0: higher than before
    beside_second: bool  # as the second source shows


@dataclass(frozen=True, slots=True)
class Missing:
    """There is no reading, or one of the two."""

    days: int
    since_last: bool = False  # the record's own readings end before


@dataclass(frozen=True, slots=True)
class Dropped:
    """The grower says that these readings are wrong."""


Flagged = (  # by a check
    BothNought
    | NeverReached
    | Crossed
    | Repeated
    | NoRange
    | BothStoodStill
    | OneStoodStill
    | MixedUnits
    | FarOff
    | Shifted
)
Found = Flagged | Missing | Dropped

# Kept as the grower says; told alone; left out or missing, and then filled, taken from the second source, or
# past the record's end and so not replaced.
Done = Literal["kept", "told", "filled", "from second source", "not replaced"]


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with the readings, and what was done about it."""

    kind: str  # "gap", "dropped", or that of the check that found it (quality.examine.CHECKS)
    first_day: dt.date
    last_day: dt.date
    extremes: tuple[Extreme, ...]  # that are missing or can't be believed, on one of the days or more
    found: Found
    done: Done
