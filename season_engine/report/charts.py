"""Path data and tick marks of the report's drawings: numbers in, strings out.

All coordinates are in the units of a drawing's `view_box`, rounded to a tenth; y grows downwards.
"""

from __future__ import annotations

import datetime as dt
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.report.contents import SeasonSum
from season_engine.windows.assessment import WeekChance

Points = Sequence[tuple[float, float]]

WIDTH = 360.0
MARGIN = 6.0
RIBBON_HALF = 26.0  # half the height of a ribbon that is certain to be open
RIBBON_MIDDLE = 40.0
RIBBON_HEIGHT = 92.0
WEEKS_BEHIND = 9
WEEKS_AHEAD = 19

SUM_LEFT, SUM_TOP, SUM_BOTTOM, SUM_HEIGHT = 44.0, 12.0, 150.0, 176.0


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class Ribbon:
    """A window's chance of being open, week by week; the height of the ribbon is the chance."""

    view_box: str
    left: float  # the first and last week known
    right: float
    middle: float
    foot: float  # where the week numbers stand
    chance: str
    usual: str
    today: float
    weeks: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class SumChart:
    """A running total of one season against the band of past seasons."""

    view_box: str
    left: float
    right: float
    foot: float
    band: str
    middle: str
    so_far: str
    last: tuple[float, float] | None
    today: float | None  # where the day is one of those drawn
    weeks: tuple[Tick, ...]
    amounts: tuple[Tick, ...]


def ribbon(weeks: Sequence[WeekChance], today: dt.date) -> Ribbon | None:
    """Draw the weeks around `today`; None where there are fewer than two of them."""
    first, last = today - dt.timedelta(weeks=WEEKS_BEHIND), today + dt.timedelta(weeks=WEEKS_AHEAD)
    shown = [week for week in sorted(weeks, key=lambda w: w.date) if first <= week.date <= last]
    if len(shown) < 2:
        return None
    scale = Scale(first.toordinal(), last.toordinal(), MARGIN, WIDTH - MARGIN)
    days = [scale(week.date.toordinal()) for week in shown]
    return Ribbon(
        view_box=f"0 0 {WIDTH:g} {RIBBON_HEIGHT:g}",
        left=days[0],
        right=days[-1],
        middle=RIBBON_MIDDLE,
        foot=RIBBON_MIDDLE + RIBBON_HALF + 12,
        chance=leaf_path([(x, _chance(w.chance) * RIBBON_HALF) for x, w in zip(days, shown, strict=True)]),
        usual=leaf_path([(x, _chance(w.usual) * RIBBON_HALF) for x, w in zip(days, shown, strict=True)]),
        today=scale(today.toordinal()),
        weeks=week_ticks(first, last, scale, every=4),
    )


def _chance(value: float) -> float:
    return min(1.0, max(0.0, value)) if math.isfinite(value) else 0.0


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


def leaf_path(points: Points) -> str:
    """A closed shape about the middle line, from places and half heights; empty without height."""
    if not any(half > 0 for _, half in points):
        return ""
    above = [(x, round(RIBBON_MIDDLE - half, 1)) for x, half in points]
    below = [(x, round(RIBBON_MIDDLE + half, 1)) for x, half in reversed(points)]
    return f"M{_at(above[0])}{_bends(above)}L{_at(below[0])}{_bends(below)}Z"


def _bends(points: Points) -> str:
    """A smooth curve that never swings above or below the numbers it joins."""
    slopes = _slopes(points)
    parts = []
    for ((x0, y0), slope0), ((x1, y1), slope1) in itertools.pairwise(zip(points, slopes, strict=True)):
        third = (x1 - x0) / 3
        first, second = (x0 + third, y0 + slope0 * third), (x1 - third, y1 - slope1 * third)
        parts.append(f"C{_at(first)} {_at(second)} {_at((x1, y1))}")
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
    return "M" + "L".join(_at(point) for point in points)


def band_path(low: Points, high: Points) -> str:
    """The area between two lines over the same places."""
    if len(low) < 2:
        return ""
    return f"{line_path(high)}L{'L'.join(_at(point) for point in reversed(low))}Z"


def _at(point: tuple[float, float]) -> str:
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


def sum_chart(season_sum: SeasonSum, today: dt.date) -> SumChart | None:
    """Draw a season sum by weeks; None where there are fewer than two days."""
    s = season_sum
    if len(s.days) < 2:
        return None
    top = max((*s.p90, *s.so_far, 1e-9))
    steps = round_steps(top)
    across = Scale(s.days[0].toordinal(), s.days[-1].toordinal(), SUM_LEFT, WIDTH - MARGIN)
    up = Scale(0.0, max(top, steps[-1]), SUM_BOTTOM, SUM_TOP)

    def places(values: Sequence[float]) -> list[tuple[float, float]]:
        chosen = sorted({*range(0, len(values), 7), len(values) - 1} - {-1})
        return [(across(s.days[i].toordinal()), up(values[i])) for i in chosen]

    so_far = places(s.so_far)
    return SumChart(
        view_box=f"0 0 {WIDTH:g} {SUM_HEIGHT:g}",
        left=SUM_LEFT,
        right=WIDTH - MARGIN,
        foot=SUM_BOTTOM,
        band=band_path(places(s.p10), places(s.p90)),
        middle=line_path(places(s.p50)),
        so_far=line_path(so_far),
        last=so_far[-1] if so_far else None,
        today=across(today.toordinal()) if s.days[0] <= today <= s.days[-1] else None,
        weeks=week_ticks(s.days[0], s.days[-1], across, every=8),
        amounts=tuple(Tick(up(step), f"{step:,g}") for step in steps),
    )


def round_steps(top: float, most: int = 4) -> tuple[float, ...]:
    """At most `most` round amounts from zero up to `top`."""
    rough = top / (most - 1) if top > 0 else 1.0
    size = 10.0 ** math.floor(math.log10(rough))
    step = next(s for s in (size, 2 * size, 2.5 * size, 5 * size, 10 * size) if s >= rough * 0.999999)
    count = int(top / step * 1.000001)
    return tuple(round(step * i, 6) for i in range(count + 1))
