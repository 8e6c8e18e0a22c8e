"""What stands at the top of a weekly report: which trees to work, what to protect, what moved."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from season_engine.advice.alarms import DAYS
from season_engine.advice.choice import Choice, work_first
from season_engine.advice.harm import Harm, harms
from season_engine.advice.hindsight import Hindsight
from season_engine.advice.moves import LastTime, Move, Said, WeatherSince, moves
from season_engine.windows.assessment import Assessment, End
from season_engine.windows.hazard import Hazard, HotDays, HotRoots
from season_engine.windows.why_today import Risky
from season_engine.windows.yard import Yard

LOOKED_BACK_AT = 2  # jobs of which is told how far out their dates were


@dataclass(frozen=True, slots=True)
class FirstScreen:
    """What a grower sees first; the buds to look at stand beside it."""

    work: tuple[Choice, ...] = ()
    protect: tuple[Harm, ...] = ()
    moved: tuple[Move, ...] = ()
    weather_since: WeatherSince | None = None


def first_screen(yard: Yard, judged: Iterable[Assessment], since: dt.date, said: Said) -> FirstScreen:
    """The first screen; `judged` are the trees' assessments, or the species' where no trees are kept."""
    last_time = LastTime(yard.view, since, yard.written, yard.catalogue.get)
    moved = moves(yard.watched, last_time, said)
    found = harms(yard)
    return FirstScreen(
        work=_with_hindsight(
            work_first(_held_in_heat(judged, found), yard.trees, yard.catalogue.hours), yard
        ),
        protect=found,
        moved=moved,
        weather_since=last_time.weather_since() if moved else None,
    )


def _held_in_heat(judged: Iterable[Assessment], found: Iterable[Harm]) -> Iterator[Assessment]:
    """What is to be shaded and watered twice isn't worked as well."""
    hot = {tree: one for one in found if one.hot and one.stage != "ends" for tree in one.trees}
    for a in judged:
        heat = hot.get(a.tree or "")
        if heat is None or not a.may_be_done or not isinstance(heat.event, HotDays | HotRoots):
            yield a
        else:
            hazard = Hazard("heat", heat.chance, DAYS, heat.event)
            yield replace(a, today="hold", today_why=Risky(hazard))


def _with_hindsight(work: tuple[Choice, ...], yard: Yard) -> tuple[Choice, ...]:
    hindsight = Hindsight(yard.view)
    by_key = {(one.now.species, one.now.job, one.now.window): one for one in yard.watched}
    told = []
    for choice in work[:LOOKED_BACK_AT]:
        a = choice.first
        watched = by_key.get((a.species, a.job, a.window))
        errors, end = None, date_ahead(a)
        if watched is not None and not (a.opens if end == "opens" else a.closes).calendar:
            errors = hindsight.errors(watched.species, watched.window, watched.size, int(a.season[:4]), end)
        told.append(replace(choice, past_errors=errors))
    return (*told, *work[LOOKED_BACK_AT:])


def date_ahead(a: Assessment) -> End:
    """Which end of a window is the next date: its closing once it is open."""
    return "closes" if a.in_window else "opens"
