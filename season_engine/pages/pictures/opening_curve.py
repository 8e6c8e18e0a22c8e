"""The odds that a window has opened, day by day, and the day on which they are what the job wants."""

from __future__ import annotations

from dataclasses import dataclass

from season_engine.pages.pictures.charts import (
    MARGIN,
    WIDTH,
    Scale,
    Tick,
    band_path,
    line_path,
    named,
    share,
    week_ticks,
)
from season_engine.report.contents import floor_day
from season_engine.windows.assessment import Assessment
from season_engine.words import timing
from season_engine.words.opening import odds_by, opening_words
from season_engine.words.speech import say

LEFT, TOP, FOOT, HEIGHT = 58.0, 24.0, 124.0, 157.0
HALF_A_LABEL = 70.0  # half the width of the longest date with its odds


@dataclass(frozen=True, slots=True)
class OpeningCurve:
    """Odds by day as an area from today on, past seasons' odds, and the point where the floor is reached."""

    view_box: str
    left: float
    right: float
    top: float
    foot: float
    chance: str
    usual: str
    edge: str  # of the past seasons' area
    floor: float
    reached: float
    words: str
    words_at: float
    amounts: tuple[Tick, ...]
    weeks: tuple[Tick, ...]
    first: str
    last: str
    alt: str


def opening_curve(assessment: Assessment) -> OpeningCurve | None:
    """Draw the days told; None where the odds the job wants aren't reached within them."""
    a, days, day = assessment, assessment.days, floor_day(assessment)
    if day is None or len(days) < 2:
        return None
    first, last = days[0].date, days[-1].date
    across = Scale(first.toordinal(), last.toordinal(), LEFT, WIDTH - MARGIN)
    up = Scale(0.0, 1.0, FOOT, TOP)
    past = [(across(d.date.toordinal()), up(share(d.usual))) for d in days]
    ground = [(LEFT, FOOT), (WIDTH - MARGIN, FOOT)]
    reached = across(day.toordinal())
    return OpeningCurve(
        view_box=f"0 0 {WIDTH:g} {HEIGHT:g}",
        left=LEFT,
        right=WIDTH - MARGIN,
        top=TOP,
        foot=FOOT,
        chance=band_path(ground, [(across(d.date.toordinal()), up(share(d.chance))) for d in days]),
        usual=band_path(ground, past),
        edge=line_path(past),
        floor=up(a.floor),
        reached=reached,
        words=odds_by(a.floor, day, a.as_of),
        words_at=min(max(reached, LEFT + HALF_A_LABEL), WIDTH - MARGIN - HALF_A_LABEL),
        amounts=tuple(Tick(up(odds), say("{n} in 10", n=round(odds * 10))) for odds in (0.0, 0.5, 1.0)),
        weeks=named(week_ticks(first, last, across, every=1), LEFT),
        first=say("today, {date}", date=timing.day(first, a.as_of)),
        last=timing.day(last, a.as_of),
        alt=opening_words(a),
    )
