"""Two drawings of a backtest: skill against lead, and whether odds keep their word."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined

from season_engine.pages.pictures.charts import Scale, Tick, line_path
from season_engine.species.jobs import JOBS
from season_engine.verify.cases import Case, Row, foreseen, rows
from season_engine.verify.station_files import Event
from season_engine.words import notices, prose

LEFT, RIGHT, TOP, BOTTOM = 40.0, 354.0, 30.0, 190.0
INKS = ("#3d4f7c", "#a4572f", "#4f7a3d", "#8a6d1f", "#7a4d78", "#22251f")
DASHES = ("none", "6 3", "2 3")
KEY_ROW = 14.0
ODDS = np.arange(5, 100, 5) / 100.0


@dataclass(frozen=True, slots=True)
class Line:
    """One line with its name in the key."""

    label: str
    path: str
    points: tuple[tuple[float, float], ...]
    ink: str
    dash: str
    key_y: float


@dataclass(frozen=True, slots=True)
class LineChart:
    """Lines over two labelled axes; places in the units of the view box."""

    title: str
    across: str
    height: float
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    reference: str  # the line that means no gain, or exact odds
    lines: tuple[Line, ...]
    invented: bool = False  # the weather behind it

    @property
    def full_title(self) -> str:
        """The title, with a word on invented weather."""
        return notices.marked(self.title, invented=self.invented)


def skill_chart(cases: Sequence[Case], *, invented: bool = False) -> str:
    """SVG of the share of the calendar's CRPS that is taken away, by weeks ahead."""
    scored = foreseen(cases)
    leads = sorted({case.lead_weeks for case in scored if case.lead_weeks is not None}, reverse=True)
    groups = {name: _skills(group) for name, group in _by_name(scored).items()}
    lowest = min([0.0, *(skill for points in groups.values() for _, skill in points)])
    bottom = max(np.floor(lowest * 5) / 5, -1.0)
    across = Scale(-max(leads, default=1.0), -min(leads, default=0.0), LEFT + 8, RIGHT - 8)
    up = Scale(bottom, 1.0, BOTTOM, TOP)
    steps = np.round(np.arange(bottom, 1.01, 0.2), 1).tolist()
    return _drawn(
        LineChart(
            title="Share of the calendar's error taken away, odds included",
            across=f"weeks ahead{_left_out(len(cases) - len(scored))}",
            height=_height(groups),
            x_ticks=tuple(Tick(across(-lead), f"{lead:g}") for lead in leads),
            y_ticks=tuple(Tick(up(step), f"{step:g}") for step in steps),
            reference=line_path([(LEFT, up(0.0)), (RIGHT, up(0.0))]),
            lines=_lines(
                {name: [(across(-x), up(max(y, bottom))) for x, y in g] for name, g in groups.items()}
            ),
            invented=invented,
        )
    )


def reliability_chart(cases: Sequence[Case], *, invented: bool = False) -> str:
    """SVG of how often the day came by the date given such odds, all leads together."""
    scored = foreseen(cases)
    ahead = [case for case in scored if case.lead_weeks is not None]
    across, up = Scale(0.0, 1.0, LEFT, RIGHT), Scale(0.0, 1.0, BOTTOM, TOP)
    groups = {name: _kept(group) for name, group in _by_name(ahead).items()}
    ticks = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
    return _drawn(
        LineChart(
            title="How often it had come by a date of such odds",
            across=f"odds given{_left_out(len(cases) - len(scored))}",
            height=_height(groups),
            x_ticks=tuple(Tick(across(odds), f"{odds:g}") for odds in ticks),
            y_ticks=tuple(Tick(up(odds), f"{odds:g}") for odds in ticks),
            reference=line_path([(LEFT, BOTTOM), (RIGHT, TOP)]),
            lines=_lines({name: [(across(x), up(y)) for x, y in group] for name, group in groups.items()}),
            invented=invented,
        )
    )


def _left_out(of_calendar: int) -> str:
    return f"; without {prose.counted(of_calendar, 'forecast')} set by the calendar" if of_calendar else ""


def _by_name(cases: Iterable[Case]) -> dict[str, list[Case]]:
    """Events by name; windows, of which there are many, by job."""
    groups: dict[str, list[Case]] = {}
    for case in cases:
        subject = case.subject
        if isinstance(subject, Event):
            name = f"{prose.plain(subject.species)}, BBCH {subject.bbch:02d}"
        else:
            name = JOBS[subject.job].words
        groups.setdefault(name, []).append(case)
    return dict(sorted(groups.items()))


def _skills(cases: Iterable[Case]) -> list[tuple[float, float]]:
    """Lead and skill, far to near, over all of the group's cases together."""
    by_lead: dict[float, list[Row]] = {}
    for row in rows(cases):
        if row.lead_weeks is not None:
            by_lead.setdefault(row.lead_weeks, []).append(row)
    result = []
    for lead, group in sorted(by_lead.items(), reverse=True):
        ours = sum(row.summary.n * row.summary.crps for row in group)
        calendars = sum(row.summary.n * row.crps_calendar for row in group)
        if calendars > 0:
            result.append((lead, 1.0 - ours / calendars))
    return result


def _kept(cases: Sequence[Case]) -> list[tuple[float, float]]:
    pit = np.array([case.scored.pit for case in cases])
    return [(float(odds), float(np.mean(pit <= odds))) for odds in ODDS]


def _lines(groups: dict[str, list[tuple[float, float]]]) -> tuple[Line, ...]:
    return tuple(
        Line(
            label,
            line_path(points),
            tuple(points),
            INKS[place % len(INKS)],
            DASHES[place // len(INKS) % len(DASHES)],
            BOTTOM + 38 + KEY_ROW * place,
        )
        for place, (label, points) in enumerate(groups.items())
    )


def _height(groups: dict[str, list[tuple[float, float]]]) -> float:
    return BOTTOM + 38 + KEY_ROW * len(groups)


def _drawn(chart: LineChart) -> str:
    text: str = _template().render(
        chart=chart, left=LEFT, right=RIGHT, top=TOP, bottom=BOTTOM, width=RIGHT + 6
    )
    return text[text.index("<svg ") :]


@cache
def _template() -> Any:
    environment = Environment(
        loader=PackageLoader("season_engine.pages"), autoescape=True, undefined=StrictUndefined
    )
    return environment.get_template("lines.svg")
