"""Heat and chill of this season against the band of past ones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from season_engine.pages.pictures.charts import (
    MARGIN,
    WIDTH,
    Points,
    Scale,
    Tick,
    band_path,
    line_path,
    named,
    round_steps,
    week_ticks,
)
from season_engine.report.season_sums import SeasonSum
from season_engine.words import prose
from season_engine.words.speech import decimal, say

LEFT, TOP, FOOT, HEIGHT = 44.0, 20.0, 152.0, 176.0


@dataclass(frozen=True, slots=True)
class Word:
    """Words at a place, as SVG anchors them."""

    x: float
    y: float
    text: str
    anchor: Literal["start", "middle", "end"]
    kind: str


@dataclass(frozen=True, slots=True)
class SumChart:
    """A running total of one season against the band of past seasons."""

    view_box: str
    left: float
    right: float
    top: float
    foot: float
    band: str
    middle: str
    so_far: str
    last: tuple[float, float] | None
    today: float | None  # where the day is one of those drawn
    weeks: tuple[Tick, ...]
    amounts: tuple[Tick, ...]
    words: tuple[Word, ...]


def sum_chart(season_sum: SeasonSum, today: dt.date) -> SumChart | None:
    """Draw a season sum by weeks; None where there are fewer than two days."""
    s = season_sum
    if len(s.days) < 2:
        return None
    top = max((*s.p90, *s.so_far, 1e-9))
    steps = round_steps(top, 5)
    across = Scale(s.days[0].toordinal(), s.days[-1].toordinal(), LEFT, WIDTH - MARGIN)
    up = Scale(0.0, max(top, steps[-1]), FOOT, TOP)

    def places(values: Sequence[float]) -> list[tuple[float, float]]:
        chosen = sorted({*range(0, len(values), 7), len(values) - 1} - {-1})
        return [(across(s.days[i].toordinal()), up(values[i])) for i in chosen]

    so_far = places(s.so_far)
    at_today = across(today.toordinal()) if s.days[0] <= today <= s.days[-1] else None
    return SumChart(
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        left=LEFT,
        right=WIDTH - MARGIN,
        top=TOP,
        foot=FOOT,
        band=band_path(places(s.p10), places(s.p90)),
        middle=line_path(places(s.p50)),
        so_far=line_path(so_far),
        last=so_far[-1] if so_far else None,
        today=at_today,
        weeks=named(week_ticks(s.days[0], s.days[-1], across, every=8)),
        amounts=tuple(Tick(up(step), decimal(f"{step:,g}")) for step in steps),
        words=(*_today(at_today), *_reached(s, so_far)),
    )


def _today(at: float | None) -> tuple[Word, ...]:
    if at is None:
        return ()
    return (Word(min(max(at, LEFT + 16), WIDTH - MARGIN - 16), TOP - 6, say("today"), "middle", "ink"),)


def _reached(s: SeasonSum, so_far: Points) -> tuple[Word, ...]:
    """The sum so far, beside the end of its line: above it, where a line that only rises never was."""
    if not so_far:
        return ()
    x, y = so_far[-1]
    room = x > LEFT + 44
    text = prose.amount(s.so_far[-1])
    return (Word(x - 7 if room else x + 7, max(y - 7, TOP + 8), text, "end" if room else "start", "figure"),)
