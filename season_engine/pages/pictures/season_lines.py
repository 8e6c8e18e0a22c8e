"""Heat and chill of this season as a line over every past season's."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.pages.pictures.charts import (
    LETTER,
    MARGIN,
    WIDTH,
    Scale,
    Tick,
    Word,
    line_path,
    month_starts,
    month_ticks,
    round_steps,
)
from season_engine.report.season_sums import SeasonSum
from season_engine.words import prose
from season_engine.words.speech import decimal, say

LEFT, TOP, FOOT, HEIGHT = 44.0, 20.0, 182.0, 206.0
EVERY_DAYS = 14  # a past season's line is bent so often
KEY_LINE = 16.0


@dataclass(frozen=True, slots=True)
class KeyLine:
    """A kind of line and its words."""

    kind: str
    y: float
    words: str


@dataclass(frozen=True, slots=True)
class SeasonLines:
    """A running total of one season over those of past seasons."""

    view_box: str
    left: float
    right: float
    top: float
    foot: float
    past: tuple[str, ...]  # without the nearest
    nearest: str
    so_far: str
    last: tuple[float, float] | None
    today: float | None  # where the day is one of those drawn
    today_top: float  # below the key where its line would cross that
    months: tuple[Tick, ...]
    starts: tuple[float, ...]
    amounts: tuple[Tick, ...]
    words: tuple[Word, ...]
    key: tuple[KeyLine, ...]
    alt: str  # beside the sum's own words


def season_lines(season_sum: SeasonSum, today: dt.date) -> SeasonLines | None:
    """Draw a season sum by months; None where there are fewer than two days."""
    s = season_sum
    if len(s.days) < 2:
        return None
    top = max((*(one.sums[-1] for one in s.past), *s.p90, *s.so_far, 1e-9))
    steps = round_steps(top, 5)
    across = Scale(s.days[0].toordinal(), s.days[-1].toordinal(), LEFT, WIDTH - MARGIN)
    up = Scale(0.0, max(top, steps[-1]), FOOT, TOP)

    def places(values: Sequence[float], every: int) -> list[tuple[float, float]]:
        chosen = sorted({*range(0, len(values), every), len(values) - 1} - {-1})
        return [(across(s.days[i].toordinal()), up(values[i])) for i in chosen]

    so_far = places(s.so_far, 7)
    near = s.nearest
    at_today = across(today.toordinal()) if s.days[0] <= today <= s.days[-1] else None
    key = _key(s, near.season if near else "")
    crossed = at_today is not None and at_today < LEFT + 40 + LETTER * max(
        (len(one.words) for one in key), default=0
    )
    today_top = key[-1].y + 6 if key and crossed else TOP
    return SeasonLines(
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        left=LEFT,
        right=WIDTH - MARGIN,
        top=TOP,
        foot=FOOT,
        past=tuple(line_path(places(one.sums, EVERY_DAYS)) for one in s.past if one is not near),
        nearest=line_path(places(near.sums, 7)) if near else "",
        so_far=line_path(so_far),
        last=so_far[-1] if so_far else None,
        today=at_today,
        today_top=today_top,
        months=month_ticks(s.days[0], s.days[-1], across),
        starts=month_starts(s.days[0], s.days[-1], across),
        amounts=tuple(Tick(up(step), decimal(f"{step:,g}")) for step in steps),
        words=(*_today(at_today, today_top), *_reached(s, so_far)),
        key=key,
        alt=say("So far it is most like {season}.", season=near.season) if near else "",
    )


def _key(s: SeasonSum, nearest: str) -> tuple[KeyLine, ...]:
    lines = [("this", say("this season"))] if s.so_far else []
    lines += [("nearest", say("most like {season}", season=nearest))] if nearest else []
    lines += [("past", say("every past season"))] if s.past else []
    return tuple(KeyLine(kind, TOP + 14 + KEY_LINE * n, words) for n, (kind, words) in enumerate(lines))


def _today(at: float | None, top: float) -> tuple[Word, ...]:
    """Above the day's line, or beside its head where that stands below the key."""
    if at is None:
        return ()
    if top > TOP:
        return (Word(at + 6, top + 10, say("today"), "start", "figure"),)
    return (Word(min(max(at, LEFT + 16), WIDTH - MARGIN - 16), TOP - 6, say("today"), "middle", "ink"),)


def _reached(s: SeasonSum, so_far: Sequence[tuple[float, float]]) -> tuple[Word, ...]:
    """The sum so far beside the end of its line: below it on the right, where a line that rises never was."""
    if not so_far:
        return ()
    x, y = so_far[-1]
    room = x < WIDTH - MARGIN - 40
    text = prose.amount(s.so_far[-1])
    return (
        Word(x + 7 if room else x - 7, min(y + 14, FOOT - 4), text, "start" if room else "end", "figure"),
    )
