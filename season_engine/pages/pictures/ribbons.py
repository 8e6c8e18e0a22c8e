"""Windows as ribbons, one above the other along one axis of weeks: the height is the chance of being open."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.pages.pictures.charts import (
    MARGIN,
    WIDTH,
    Points,
    Scale,
    Tick,
    at,
    bends,
    named,
    share,
    week_ticks,
)
from season_engine.windows.assessment import Assessment, WeekChance
from season_engine.words import prose, timing, verdicts
from season_engine.words.speech import say
from season_engine.words.window_card import Card

WEEKS_BEHIND = 9
WEEKS_AHEAD = 19
HALF = 18.0  # half the height of a ribbon that is certain to be open
MIDDLE = 21.0
ROW = 42.0
HEAD = 34.0  # the words above the first ribbon
FOOT = 18.0
LINE = 14.0
LETTERS = 50  # of a label in a line of the whole drawing


@dataclass(frozen=True, slots=True)
class Ribbon:
    """One window's chance of being open, and the same in past seasons, as shapes about `MIDDLE`."""

    card: Card
    chance: str
    usual: str
    label: tuple[str, ...]
    told: str  # the one date that matters next
    top: float  # where it begins in the whole drawing; its words stand above


@dataclass(frozen=True, slots=True)
class Strip:
    """Ribbons along one axis."""

    ribbons: tuple[Ribbon, ...]
    width: float
    row: float
    middle: float
    head: float
    foot: float
    height: float  # of the whole drawing, words included
    left: float
    right: float
    today: float
    date: str
    weeks: tuple[Tick, ...]
    alt: str


def strip(cards: Sequence[Card], today: dt.date) -> Strip | None:
    """Draw the windows of `cards` in the weeks around `today`; None where none has two weeks to draw."""
    first, last = today - dt.timedelta(weeks=WEEKS_BEHIND), today + dt.timedelta(weeks=WEEKS_AHEAD)
    scale = Scale(first.toordinal(), last.toordinal(), MARGIN, WIDTH - MARGIN)
    ribbons: list[Ribbon] = []
    top = HEAD
    for card in cards:
        shown = [week for week in sorted(card.assessment.weeks, key=_date) if first <= week.date <= last]
        if len(shown) >= 2:
            ribbons.append(_ribbon(card, shown, scale, top))
            top = ribbons[-1].top + ROW
    if not ribbons:
        return None
    return Strip(
        ribbons=tuple(ribbons),
        width=WIDTH,
        row=ROW,
        middle=MIDDLE,
        head=HEAD,
        foot=FOOT,
        height=top + FOOT,
        left=MARGIN,
        right=WIDTH - MARGIN,
        today=scale(today.toordinal()),
        date=timing.day(today, today),
        weeks=named(week_ticks(first, last, scale, every=4)),
        alt=prose.sentence("; ".join(f"{one.card.title}: {one.told}" for one in ribbons)),
    )


def _date(week: WeekChance) -> dt.date:
    return week.date


def _ribbon(card: Card, shown: Sequence[WeekChance], scale: Scale, top: float) -> Ribbon:
    days = [scale(week.date.toordinal()) for week in shown]
    label = tuple(textwrap.wrap(card.title, LETTERS, max_lines=2, placeholder=" …"))
    return Ribbon(
        card=card,
        chance=leaf_path([(x, share(w.chance) * HALF) for x, w in zip(days, shown, strict=True)]),
        usual=leaf_path([(x, share(w.usual) * HALF) for x, w in zip(days, shown, strict=True)]),
        label=label,
        told=_next_date(card.assessment),
        top=top + LINE * (len(label) + 1) + 4,
    )


def leaf_path(points: Points) -> str:
    """A closed shape about the middle line, from places and half heights; empty without height."""
    high = [place for place, (_, half) in enumerate(points) if half > 0]
    if not high:
        return ""
    drawn = points[max(high[0] - 1, 0) : high[-1] + 2]
    above = [(x, round(MIDDLE - half, 1)) for x, half in drawn]
    below = [(x, round(MIDDLE + half, 1)) for x, half in reversed(drawn)]
    return f"M{at(above[0])}{bends(above)}L{at(below[0])}{bends(below)}Z"


def _next_date(assessment: Assessment) -> str:
    """``Closes about Sun 19 Apr``: the date of `brief_sentence` alone."""
    a = assessment
    in_window = a.verdict in ("open", "last-call")
    dates = a.closes if in_window else a.opens
    if dates.p50 is None or verdicts.maybe_open(a):
        return verdicts.brief_sentence(a).removesuffix(".")
    about = timing.roughly(dates, a.as_of)
    return say("Closes {about}", about=about) if in_window else say("Opens {about}", about=about)
