"""What the report's drawings share: scales, paths and marks on axes; numbers in, strings out.

All coordinates are in the units of a drawing's `view_box`, rounded to a tenth; y grows downwards.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from season_engine.facts import Month
from season_engine.words.speech import quantity

Points = Sequence[tuple[float, float]]
Anchor = Literal["start", "middle", "end"]

WIDTH = 360.0
MARGIN = 9.0
LETTER = 6.4  # what a letter takes of a line, wide ones among narrow


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class Word:
    """Words at a place, as SVG anchors them."""

    x: float
    y: float
    text: str
    anchor: Anchor
    kind: str


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight line from values to places, rounded to a tenth."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """Place of `value`; the start where there is nothing to spread."""
        if self.high == self.low:
            return self.start
        share = (value - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 1)


def line_path(points: Points) -> str:
    """Straight pieces through the points; empty where there are fewer than two."""
    if len(points) < 2:
        return ""
    return "M" + "L".join(at(point) for point in points)


def band_path(low: Points, high: Points) -> str:
    """The area between two lines over the same places."""
    if len(low) < 2:
        return ""
    return f"{line_path(high)}L{'L'.join(at(point) for point in reversed(low))}Z"


def at(point: tuple[float, float]) -> str:
    """A place as a path has it."""
    return f"{round(point[0], 1):g},{round(point[1], 1):g}"


def box_path(left: float, right: float, top: float, height: float) -> str:
    """An upright rectangle."""
    return f"M{at((left, top))}H{right:g}V{round(top + height, 1):g}H{left:g}Z"


def month_ticks(first: dt.date, last: dt.date, scale: Scale) -> tuple[Tick, ...]:
    """The name of each month in the middle of its days from `first` to `last`, where it has room."""
    named: list[Tick] = []
    start = first
    while start <= last:
        end = min(_next_month(start), last)
        here, there = scale(start.toordinal()), scale(end.toordinal())
        label = quantity(Month(start, short=True))
        if there - here >= LETTER * (len(label) + 0.5):
            named.append(Tick(round((here + there) / 2, 1), label))
        start = _next_month(start)
    return tuple(named)


def month_starts(first: dt.date, last: dt.date, scale: Scale) -> tuple[float, ...]:
    """Where each month after the first day begins."""
    starts: list[float] = []
    start = _next_month(first)
    while start <= last:
        starts.append(scale(start.toordinal()))
        start = _next_month(start)
    return tuple(starts)


def _next_month(date: dt.date) -> dt.date:
    return (date.replace(day=1) + dt.timedelta(days=31)).replace(day=1)


def round_steps(top: float, most: int = 4) -> tuple[float, ...]:
    """At most `most` round amounts from zero up to `top`."""
    step = round_size(top / (most - 1) if top > 0 else 1.0)
    count = int(top / step * 1.000001)
    return tuple(round(step * i, 6) for i in range(count + 1))


def round_size(rough: float) -> float:
    """The next round amount from `rough` on."""
    size = 10.0 ** math.floor(math.log10(rough))
    return next(s for s in (size, 2 * size, 2.5 * size, 5 * size, 10 * size) if s >= rough * 0.999999)
