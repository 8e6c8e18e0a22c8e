"""Weather that harms trees: whom, when, and what to do about it by when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from season_engine.advice.alarms import A_WEEK, MOVED, Alarm, Spell, Stage, alarm_of, returns
from season_engine.advice.dangers import Face, TreeYear
from season_engine.advice.outdoors import Outdoors
from season_engine.species.jobs import JOBS
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect
from season_engine.windows.hazard import ColdNight, ColdRoots, HotDays, HotRoots, WeatherEvent
from season_engine.windows.yard import Yard

HEAVY_L = 60.0  # what holds more is wrapped where it stands
COLD: frozenset[Face] = MOVED | {"cold after work"}
HOT: frozenset[Face] = frozenset({"heat after work", "heat"})
WAKING: frozenset[Face] = frozenset({"waking"})
UNDER_COVER: frozenset[Face] = frozenset({"cold night", "cool night", "cold roots"})  # for the winter
_SOONEST: Sequence[Stage] = ("begins", "lasts", "ends")

Act = Literal["cover", "screen", "keep cool", "in by night", "shade and water", "shade cloth", "out"]
_ACTS: dict[Face, Act] = {
    "cold night": "cover",
    "cool night": "cover",
    "cold roots": "cover",
    "early frost": "in by night",  # nothing goes in for the winter before it is hard
    "cold after work": "cover",
    "late frost": "in by night",
    "frozen ball": "screen",
    "waking": "keep cool",
    "heat": "shade and water",
    "heat after work": "shade and water",
    "shade cloth": "shade cloth",
}


@dataclass(frozen=True, slots=True)
class FrozenBall:
    """The middle of the pot below freezing for so many days running."""

    days: int


@dataclass(frozen=True, slots=True)
class WarmSpell:
    """So many days running whose mean is as warm as this [degC]."""

    level_c: float
    days: int


HarmEvent = WeatherEvent | FrozenBall | WarmSpell


@dataclass(frozen=True, slots=True)
class Harm:
    """Weather that harms some trees alike, and what to do for them."""

    face: Face
    stage: Stage
    trees: tuple[str, ...]  # ids
    event: HarmEvent | None  # from where on it harms the most tender of them; None: the season's shade
    chance: float
    by: dt.date  # to be done by that evening
    until: dt.date | None = None  # for the first of them; None: nobody can say
    spell: Spell | None = None  # the days forecast
    here: bool = False  # it has come by the readings, and goes on
    heavy: tuple[str, ...] = ()  # of the trees, those to be left where they stand
    job: str = ""  # the work after which it harms
    worked_on: dt.date | None = None

    @property
    def act(self) -> Act:
        """What to do: for what is over, to take them out again."""
        return "out" if self.stage == "ends" else _ACTS[self.face]

    @property
    def hot(self) -> bool:
        """Whether it is heat, and nobody should work in the sun."""
        return self.face in HOT


@dataclass(slots=True)
class _Alike:
    alarms: list[Alarm] = field(default_factory=list)
    trees: list[History] = field(default_factory=list)


def harms(yard: Yard) -> tuple[Harm, ...]:
    """What harms trees of the yard in the coming ten days: what begins, what is over, what goes on."""
    outdoors = Outdoors(yard.view)
    alike: dict[tuple[object, ...], _Alike] = {}
    told: dict[tuple[object, ...], tuple[Alarm, ...]] = {}  # of trees alike, worked out once
    for history, prospect in yard.own:
        stands = id(prospect), replace(history.tree, id="", name="", line=0, bench=""), history.works
        if stands not in told:
            told[stands] = tuple(_of_tree(history, prospect, outdoors))
        for alarm in told[stands]:
            group = alike.setdefault(_kind(alarm), _Alike())
            group.alarms.append(alarm)
            group.trees.append(history)
    found = [_harm(one) for one in alike.values()]
    order: Sequence[Stage] = ("begins", "ends", "lasts")
    found.sort(key=lambda h: (order.index(h.stage), h.spell is None, h.by, -h.chance, h.face, h.job))
    return (*found, *_shade_cloth(yard))


def _of_tree(history: History, prospect: Prospect, outdoors: Outdoors) -> Iterable[Alarm]:
    """The tree's alarms: of those that ask for one and the same move, the first of the soonest stage."""
    pot = history.tree.stands_in
    dangers = list(TreeYear(history, prospect, outdoors).dangers())
    alarms = [one for danger in dangers if (one := alarm_of(danger, pot, outdoors)) is not None]
    cold = [one for one in alarms if one.danger.face in COLD]
    at_hand = [one for one in cold if one.stage != "ends"]
    if cold and not at_hand and any(returns(one, pot, outdoors) for one in dangers if one.face in MOVED):
        cold = []
    covered = any(one.danger.face in UNDER_COVER for one in at_hand)
    if covered and not _heavy(history):  # under cover already, out of sun and wind
        cold = [one for one in cold if one.danger.face != "frozen ball"]
    if any(one.stage == "lasts" for one in at_hand if one.danger.face in UNDER_COVER):
        cold = [one for one in cold if one.danger.face not in UNDER_COVER or one.stage == "lasts"]
    for of_these in (cold, *([one for one in alarms if one.danger.face in faces] for faces in (HOT, WAKING))):
        if of_these:
            yield min(of_these, key=lambda one: (_SOONEST.index(one.stage), one.spell is None))


def _kind(alarm: Alarm) -> tuple[object, ...]:
    """What trees whose alarms are told together have in common."""
    danger, told = alarm.danger, (alarm.danger.face, alarm.stage, alarm.danger.job)
    if alarm.stage != "begins":
        return told[:2]
    return (*told, danger.worked_on) if alarm.spell else (*told, danger.worked_on, alarm.level_c, alarm.here)


def _harm(group: _Alike) -> Harm:
    danger = group.alarms[0].danger
    tender = max if not danger.hot else min
    spells = [one.spell for one in group.alarms if one.spell]
    untils = [one.until for one in group.alarms]
    known = [one for one in untils if one]
    first = group.alarms[0]
    level_c = tender(one.level_c for one in group.alarms)
    return Harm(
        danger.face,
        first.stage,
        tuple(one.tree.id for one in group.trees),
        _event(first, level_c),
        max(one.chance for one in group.alarms),
        min(one.by for one in group.alarms),
        min(known) if len(known) == len(untils) else None,
        _together(spells, hot=danger.hot),
        first.here,
        tuple(one.tree.id for one in group.trees if _heavy(one) and danger.face != "cool night"),
        danger.job,
        danger.worked_on,
    )


def _together(spells: Sequence[Spell], *, hot: bool) -> Spell | None:
    if not spells:
        return None
    worst = [one.worst_c for one in spells]
    return Spell(
        min(one.first for one in spells),
        max(one.last for one in spells),
        max(worst) if hot else min(worst),
    )


def _event(alarm: Alarm, level_c: float) -> HarmEvent:
    danger = alarm.danger
    match danger.felt:
        case "night":
            return ColdNight(level_c)
        case "coldest roots":
            return ColdRoots(level_c)
        case "hottest roots":
            return HotRoots(level_c, danger.run)
        case "day":
            return HotDays(level_c, danger.run)
        case "mean roots":
            return FrozenBall(danger.run)
        case "mean":
            return WarmSpell(level_c, danger.run)


def _heavy(history: History) -> bool:
    return history.tree.size == "large" or history.tree.stands_in.litres > HEAVY_L


def _shade_cloth(yard: Yard) -> Iterable[Harm]:
    """The cloth that goes up once a season, in the week before summer's shade usually begins."""
    on, found = yard.view.on, dict[str, dt.date]()
    for history, prospect in yard.own:
        for window in prospect.species.full_windows:
            if window.job == "shade":
                opens = prospect.past_opening(window).opens_odds.by(JOBS[window.job].floor)
                date = yard.view.past.date_of(float(opens))
                if date and 0 < (date - on).days <= A_WEEK:
                    found[history.tree.id] = date
    if found:
        yield Harm("shade cloth", "begins", tuple(found), None, 1.0, min(found.values()))
