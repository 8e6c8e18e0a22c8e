"""What the report's drawings share: scales, paths and marks on axes; numbers in, strings out.

All coordinates are in the units of a drawing's `view_box`, rounded to a tenth; y grows downwards.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.words.speech import say

Points = Sequence[tuple[float, float]]

WIDTH = 360.0
MARGIN = 9.0  # half the width of a week number, and a little


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis."""

    at: float
    label: str


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


def share(chance: float) -> float:
    """A chance from 0 to 1, whatever the number is; none where it isn't a number."""
    return min(1.0, max(0.0, chance)) if math.isfinite(chance) else 0.0


def bends(points: Points) -> str:
    """A smooth curve that never swings above or below the numbers it joins."""
    slopes = _slopes(points)
    parts = []
    for ((x0, y0), slope0), ((x1, y1), slope1) in itertools.pairwise(zip(points, slopes, strict=True)):
        third = (x1 - x0) / 3
        first, second = (x0 + third, y0 + slope0 * third), (x1 - third, y1 - slope1 * third)
        parts.append(f"C{at(first)} {at(second)} {at((x1, y1))}")
    return "".join(parts)


def _slopes(points: Points) -> list[float]:
    """Slope at each point: level at a turn, else the harmonic mean of the slopes beside it.

    Fritsch and Butland's choice (1984, from memory) for cubic pieces that keep the order of the numbers.
    """
    steps = [(y1 - y0) / (x1 - x0) for (x0, y0), (x1, y1) in itertools.pairwise(points)]
    inner = [2 * a * b / (a + b) if a * b > 0 else 0.0 for a, b in itertools.pairwise(steps)]
    return [0.0, *inner, 0.0]


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


def week_ticks(first: dt.date, last: dt.date, scale: Scale, *, every: int) -> tuple[Tick, ...]:
    """The Monday of each ISO week whose number is a multiple of `every`."""
    monday = first + dt.timedelta(days=-first.weekday() % 7)
    ticks: list[Tick] = []
    while monday <= last:
        week = monday.isocalendar().week
        if week % every == 0:
            ticks.append(Tick(scale(monday.toordinal()), str(week)))
        monday += dt.timedelta(weeks=1)
    return tuple(ticks)


def named(ticks: Sequence[Tick], left: float = MARGIN) -> tuple[Tick, ...]:
    """The first number with room for it says what the numbers are."""
    place = next((n for n, tick in enumerate(ticks) if tick.at >= left + 14), len(ticks))
    return tuple(Tick(t.at, say("week {n}", n=t.label)) if n == place else t for n, t in enumerate(ticks))


def round_steps(top: float, most: int = 4) -> tuple[float, ...]:
    """At most `most` round amounts from zero up to `top`."""
    rough = top / (most - 1) if top > 0 else 1.0
    size = 10.0 ** math.floor(math.log10(rough))
    step = next(s for s in (size, 2 * size, 2.5 * size, 5 * size, 10 * size) if s >= rough * 0.999999)
    count = int(top / step * 1.000001)
    return tuple(round(step * i, 6) for i in range(count + 1))
