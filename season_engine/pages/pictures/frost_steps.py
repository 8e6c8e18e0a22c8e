"""The odds of a frost week by week, as steps with their figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from season_engine.facts import Degrees, Text
from season_engine.pages.pictures.charts import MARGIN, WIDTH, Scale, Tick, band_path, line_path, share
from season_engine.windows.frost_weeks import FrostOdds, FrostWeek
from season_engine.words import prose
from season_engine.words.speech import quantity, say

LEFT = 52.0
HEAD = 17.0  # room for the figure on a certain week
TALL = 38.0  # a certain week
PANEL = HEAD + TALL
FOOT = 20.0


@dataclass(frozen=True, slots=True)
class Figure:
    """A number at the top of its step."""

    x: float
    y: float
    text: str
    kind: str


@dataclass(frozen=True, slots=True)
class FrostPanel:
    """The steps of one level."""

    label: str
    top: float
    foot: float
    steps: str
    edge: str
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class FrostSteps:
    """One panel a level, above one axis of weeks."""

    view_box: str
    left: float
    right: float
    foot: float
    panels: tuple[FrostPanel, ...]
    weeks: tuple[Tick, ...]
    alt: str


def frost_steps(odds: Sequence[FrostOdds]) -> FrostSteps | None:
    """Draw the levels, the mildest at the top; None where there is none."""
    if not odds:
        return None
    weeks = odds[0].weeks
    scale = Scale(weeks[0].first.toordinal(), weeks[-1].last.toordinal() + 1, LEFT, WIDTH - MARGIN)
    foot = PANEL * len(odds) + 4
    return FrostSteps(
        view_box=f"0 0 {WIDTH:g} {foot + FOOT:g}",
        left=LEFT,
        right=WIDTH - MARGIN,
        foot=foot,
        panels=tuple(_panel(one, scale, PANEL * place) for place, one in enumerate(odds)),
        weeks=tuple(Tick(_middle(week, scale), str(week.last.isocalendar().week)) for week in weeks),
        alt=" ".join(frost_words(one) for one in odds),
    )


def _panel(odds: FrostOdds, scale: Scale, top: float) -> FrostPanel:
    up = Scale(0.0, 1.0, top + PANEL, top + HEAD)
    edge = [
        (scale(day), up(share(week.chance)))
        for week in odds.weeks
        for day in (week.first.toordinal(), week.last.toordinal() + 1)
    ]
    ground = [(LEFT, up(0.0)), (WIDTH - MARGIN, up(0.0))]
    return FrostPanel(
        label=_level(odds),
        top=up(1.0),
        foot=up(0.0),
        steps=band_path(ground, edge),
        edge=line_path(edge),
        figures=tuple(
            Figure(
                _middle(week, scale),
                up(share(week.chance)) - 4,
                hundredths(week.chance),
                "figure" if week.chance >= 0.005 else "",
            )
            for week in odds.weeks
        ),
    )


def _middle(week: FrostWeek, scale: Scale) -> float:
    return scale((week.first.toordinal() + week.last.toordinal() + 1) / 2)


def hundredths(chance: float) -> str:
    """``35``; never a false certainty."""
    whole = round(share(chance) * 100)
    return "<1" if whole < 1 else ">99" if whole > 99 else str(whole)


def frost_words(odds: FrostOdds) -> str:
    """The figures in words; the weeks with next to no chance are named together."""
    likely = [week for week in odds.weeks if hundredths(week.chance) != "<1"]
    told = [
        say("{odds} in week {week}", odds=_in_hundred(week.chance), week=week.last.isocalendar().week)
        for week in likely
    ]
    if len(likely) < len(odds.weeks):
        rest = Text("{odds} in the others") if likely else Text("{odds} in every week")
        told.append(say(rest, odds=prose.odds(0.0)))
    chance = Text("Chance of a night of {level} or colder at the pots: {odds}.")
    return say(chance, level=_level(odds), odds=", ".join(told))


def _in_hundred(chance: float) -> str:
    return prose.odds(1.0) if hundredths(chance) == ">99" else say("{n} in 100", n=hundredths(chance))


def _level(odds: FrostOdds) -> str:
    return quantity(Degrees(odds.level_c))
