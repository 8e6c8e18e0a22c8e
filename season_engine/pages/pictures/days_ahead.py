"""The nights and days ahead as two fans, and the levels that harm trees as lines."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.facts import DEGREE_F, Degrees, Month
from season_engine.pages.pictures.charts import (
    MARGIN,
    WIDTH,
    Scale,
    Tick,
    band_path,
    line_path,
    round_size,
)
from season_engine.report.days_ahead import DayAhead, Spread
from season_engine.words.days_ahead import Floor, days_ahead_words
from season_engine.words.speech import quantity, say, units

LEFT, RIGHT, TOP, FOOT = 48.0, WIDTH - MARGIN - 42.0, 14.0, 174.0
KEY_Y = FOOT + 42
LABEL = 14.0  # height of a line of words
NEAR_C = 6.0  # a floor so far below the coldest night likely is still drawn


@dataclass(frozen=True, slots=True)
class Fan:
    """What 8 in 10 chances lie between, its middle line and the middle's points."""

    band: str
    middle: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class FloorLine:
    """A level, its degrees beside the plot, clear of those of other levels, and its line in the key."""

    y: float
    degrees: str
    degrees_y: float
    label: str
    label_y: float


@dataclass(frozen=True, slots=True)
class DaysAheadDrawing:
    """Nights below and days above, along one axis of days."""

    view_box: str
    left: float
    right: float
    foot: float
    nights: Fan
    days: Fan
    floors: tuple[FloorLine, ...]
    degrees: tuple[Tick, ...]
    dates: tuple[Tick, ...]
    months: tuple[Tick, ...]
    key_y: float
    alt: str


def days_ahead_drawing(
    days: Sequence[DayAhead], floors: Sequence[Floor], today: dt.date
) -> DaysAheadDrawing | None:
    """Draw the days; None where there are fewer than two. Floors far below every night are left out."""
    if len(days) < 2:
        return None
    lowest = min(min(day.low.p10_c, day.high.p10_c) for day in days)
    highest = max(max(day.low.p90_c, day.high.p90_c) for day in days)
    shown = [floor for floor in floors if lowest - NEAR_C <= floor.level_c <= highest]
    low, high = min([lowest, *(floor.level_c for floor in shown)]) - 1, highest + 1
    across = Scale(0, len(days) - 1, LEFT + 14, RIGHT - 10)
    up = Scale(low, high, FOOT, TOP)
    xs = [across(place) for place in range(len(days))]
    return DaysAheadDrawing(
        view_box=f"0 0 {WIDTH:g} {KEY_Y + 10 + LABEL * len(shown):g}",
        left=LEFT,
        right=RIGHT,
        foot=FOOT,
        nights=_fan(xs, [day.low for day in days], up),
        days=_fan(xs, [day.high for day in days], up),
        floors=_floor_lines(shown, up),
        degrees=tuple(Tick(up(level), quantity(Degrees(level, 0))) for level in _steps_c(low, high)),
        dates=tuple(Tick(x, str(day.date.day)) for x, day in zip(xs, days, strict=True)),
        months=tuple(
            Tick(x, quantity(Month(day.date, short=True)))
            for n, (x, day) in enumerate(zip(xs, days, strict=True))
            if n == 0 or day.date.day == 1
        ),
        key_y=KEY_Y,
        alt=f"{_source(days)} {days_ahead_words(days, floors, today)}",
    )


def _fan(xs: Sequence[float], spreads: Sequence[Spread], up: Scale) -> Fan:
    low, middle, high = (
        [(x, up(getattr(spread, name))) for x, spread in zip(xs, spreads, strict=True)]
        for name in ("p10_c", "p50_c", "p90_c")
    )
    return Fan(band_path(low, high), line_path(middle), tuple(middle))


def _floor_lines(floors: Sequence[Floor], up: Scale) -> tuple[FloorLine, ...]:
    """From the warmest down, each one's degrees no higher than a line below those above them."""
    lines: list[FloorLine] = []
    for place, floor in enumerate(sorted(floors, key=lambda one: -one.level_c), 1):
        y, degrees = up(floor.level_c), quantity(Degrees(floor.level_c))
        degrees_y = max(y + 4, lines[-1].degrees_y + LABEL - 1) if lines else y + 4
        label = say("{level}, {label}", level=degrees, label=floor.label)
        lines.append(FloorLine(y, degrees, round(degrees_y, 1), label, KEY_Y + 4 + LABEL * place))
    return tuple(lines)


def _steps_c(low: float, high: float) -> list[float]:
    """Round degrees, in the units that are spoken, from `low` to `high`."""
    a_degree, freezing = (DEGREE_F, 32.0) if units() == "degF" else (1.0, 0.0)
    first, last = (level * a_degree + freezing for level in (low, high))
    size = round_size((last - first) / 5)
    steps = range(math.ceil(first / size), math.floor(last / size) + 1)
    return [(step * size - freezing) / a_degree for step in steps]


def _source(days: Sequence[DayAhead]) -> str:
    forecast = sum(day.forecast for day in days)
    if forecast == len(days):
        return say("As forecast, with the error of forecasts.")
    if forecast:
        return say("As forecast where there is a forecast, else as past years had them.")
    return say("As past years had them.")
