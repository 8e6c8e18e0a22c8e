"""Two yards' dates of the same jobs, as pairs of dots along one axis of months."""

from __future__ import annotations

import datetime as dt
import textwrap
from dataclasses import dataclass

from season_engine.pages.pictures.charts import (
    LETTER,
    MARGIN,
    WIDTH,
    Anchor,
    Scale,
    Tick,
    month_starts,
    month_ticks,
)
from season_engine.words.pairs import PairsOfDates, pair_words

HEAD, ROW, FOOT = 44.0, 34.0, 18.0
LETTERS = 52  # of a title in a line
SIDE = 12.0  # beside the first and last date, in places
DAYS_BESIDE = 10
LEAST_DAYS = 60  # on the axis, so that a month's name has room


@dataclass(frozen=True, slots=True)
class Pair:
    """One job's dots and words; `first` is filled, `other` a ring."""

    title: str
    title_y: float
    y: float
    first: float
    other: float
    told: str
    told_x: float
    anchor: Anchor


@dataclass(frozen=True, slots=True)
class PairDots:
    """Pairs of dots, the greatest difference at the top."""

    view_box: str
    left: float
    right: float
    top: float
    foot: float
    first: str
    other: str
    other_x: float  # of the other yard's sample in the key
    months: tuple[Tick, ...]
    starts: tuple[float, ...]
    pairs: tuple[Pair, ...]
    alt: str


def pair_dots(pairs: PairsOfDates, today: dt.date) -> PairDots:
    """Draw what two yards share."""
    dates = [date for pair in pairs.pairs for date in (pair.first, pair.other)]
    first = min(dates) - dt.timedelta(days=DAYS_BESIDE)
    last = max(max(dates) + dt.timedelta(days=DAYS_BESIDE), first + dt.timedelta(days=LEAST_DAYS))
    scale = Scale(first.toordinal(), last.toordinal(), MARGIN, WIDTH - MARGIN)
    foot = HEAD + ROW * len(pairs.pairs)
    names = [textwrap.shorten(name, 20, placeholder=" …") or name[:20] for name in (pairs.first, pairs.other)]
    drawn = []
    for n, one in enumerate(pairs.pairs):
        here, there = scale(one.first.toordinal()), scale(one.other.toordinal())
        told_x, anchor = _beside(here, there, one.told)
        (title, *_) = textwrap.wrap(one.title, LETTERS, max_lines=1, placeholder=" …") or [""]
        top = HEAD + ROW * n
        drawn.append(Pair(title, top + 13, top + 24, here, there, one.told, told_x, anchor))
    return PairDots(
        view_box=f"0 0 {WIDTH:g} {foot + FOOT:g}",
        left=MARGIN,
        right=WIDTH - MARGIN,
        top=HEAD,
        foot=foot,
        first=names[0],
        other=names[1],
        other_x=round(MARGIN + 34 + LETTER * len(names[0]), 1),
        months=month_ticks(first, last, scale),
        starts=month_starts(first, last, scale),
        pairs=tuple(drawn),
        alt=pair_words(pairs, today),
    )


def _beside(here: float, there: float, told: str) -> tuple[float, Anchor]:
    """Right of the pair where there is room, else left of it."""
    right = max(here, there) + SIDE
    if right + LETTER * len(told) <= WIDTH - MARGIN:
        return right, "start"
    return min(here, there) - SIDE, "end"
