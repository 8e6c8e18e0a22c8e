"""Weather that would hurt a tree in the weeks after a job, as odds over the traces."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from season_engine.markers.progress import on_column, still_to_come
from season_engine.markers.sums import degree_days
from season_engine.measures.runs import longest_run
from season_engine.phenology.dating import AnyTraces, Dating, SeasonDating
from season_engine.pot import Pot
from season_engine.species.schema import ColdHazard, HazardRule, HeatHazard, ShortSeason
from season_engine.traces import Traces
from season_engine.windows.assessment import WeekAhead
from season_engine.windows.forecast_hazards import forecast_event
from season_engine.windows.hazard import ColdNight, ColdRoots, Hazard, HotDays, HotRoots, WeatherEvent
from season_engine.windows.opening import Opening

BoolArray = NDArray[np.bool_]
FloatArray = NDArray[np.float64]

WEEKS_AHEAD = 4
AS_GOOD = 0.05
WORTH_NAMING = 0.1  # a best week with lower odds than this is no advice
HARDLY_EVER = 0.2  # with lower odds of going well all through its window a job is none for the place
DAYS_LOOKED_AT = 5


def hazard_if_done(rule: HazardRule, dating: SeasonDating, on: dt.date) -> Hazard:
    """Chance of the rule's event after a job done on a day; years without one count."""
    chance = float(hazard_odds(rule, dating, dating.traces.column(on)))
    if isinstance(rule, ShortSeason):
        return Hazard(rule.name, chance, 0, None)
    forecast = forecast_event(rule, dating.traces, on, dating.pot)
    return Hazard(rule.name, chance, rule.days, event_of(rule), forecast)


def event_of(rule: ColdHazard | HeatHazard) -> WeatherEvent:
    """What would hurt."""
    match rule.name:
        case "root heat":
            return HotRoots(rule.level_c, rule.run)
        case "root frost":
            return ColdRoots(rule.level_c)
        case "heat" | "hot spell":
            return HotDays(rule.level_c, rule.run)
        case _:
            return ColdNight(rule.level_c)


def too_little_warmth(rules: Sequence[HazardRule], dating: SeasonDating, on: dt.date) -> bool:
    """Whether, by one of a window's rules, too little warmth is left after a day to recover from the job."""
    return any(
        isinstance(rule, ShortSeason) and hazard_if_done(rule, dating, on).chance > rule.limit
        for rule in rules
    )


def weeks_ahead(
    rules: Sequence[HazardRule], dating: SeasonDating, opening: Opening, on: dt.date, *, sheltered: bool
) -> tuple[WeekAhead, ...]:
    """The job done today and in one to four weeks, side by side.

    Shelter spares a tree the cold, and any tree can stand out of the sun that heats its roots.
    """
    return tuple(
        _week_ahead(rules, dating, opening, on + dt.timedelta(weeks=week), sheltered=sheltered)
        for week in range(WEEKS_AHEAD + 1)
    )


def best_week(ahead: Sequence[WeekAhead]) -> dt.date | None:
    """The date with the best odds of an open window and no harm after; the first of those as good."""
    most = max(week.chance_good for week in ahead)
    if most < WORTH_NAMING:
        return None
    return next(week.date for week in ahead if week.chance_good >= most - AS_GOOD)


def _week_ahead(
    rules: Sequence[HazardRule], dating: SeasonDating, opening: Opening, on: dt.date, *, sheltered: bool
) -> WeekAhead:
    day, weights = dating.traces.column(on), opening.weights
    is_open = (opening.opens <= day) & (day < opening.closes)
    hurts = [_hurt(rule, dating, day) for rule in rules]
    harmed = np.zeros(len(dating.traces), dtype=bool)
    for rule, hurt in zip(rules, hurts, strict=True):
        if not _spared(rule, sheltered=sheltered):
            harmed |= hurt
    return WeekAhead(
        date=on,
        chance_open=float(weights[is_open].sum()),
        chance_closed=float(weights[opening.closes <= day].sum()),
        hazards=tuple(float(_share(dating, hurt)) for hurt in hurts),
        chance_good=float(weights[is_open & ~harmed[..., None]].sum()),
    )


def _spared(rule: HazardRule, *, sheltered: bool) -> bool:
    """Whether a tree needn't suffer it: shelter spares it the cold, shade its roots the heat."""
    return rule.name == "root heat" or (sheltered and isinstance(rule, ColdHazard))


def seldom_well(
    rules: Sequence[HazardRule], past: SeasonDating, ends: tuple[float, float], *, sheltered: bool
) -> float | None:
    """The best chance that nothing hurts a tree after a job done in its usual window, where that is small.

    Over whole past seasons, on a few days from the first of these columns to the last before the other. None
    where it is no less than `HARDLY_EVER`.
    """
    rules = [rule for rule in rules if not _spared(rule, sheltered=sheltered)]
    if not rules or not np.isfinite(ends).all():
        return None
    opens, closes = ends
    best = 0.0
    for day in np.unique(np.linspace(opens, max(closes - 1, opens), DAYS_LOOKED_AT).round().astype(np.int64)):
        best = max(best, _chance_well(rules, past, day))
        if best >= HARDLY_EVER:
            return None
    return best


def well_when_too_late(
    rules: Sequence[HazardRule], dating: SeasonDating, opens: dt.date, *, sheltered: bool
) -> float | None:
    """The chance that nothing hurts a tree worked on a window's first day, where warmth is too little then.

    No day after has more of it left, so that one has the best odds of the whole window. None where there is
    warmth enough.
    """
    if not too_little_warmth(rules, dating, opens):
        return None
    rules = [rule for rule in rules if not _spared(rule, sheltered=sheltered)]
    return _chance_well(rules, dating, np.asarray(dating.traces.column(opens)))


def _chance_well(rules: Sequence[HazardRule], dating: SeasonDating, day: ArrayLike) -> float:
    harmed = np.any([_hurt(rule, dating, day) for rule in rules], axis=0)
    return 1.0 - float(_share(dating, harmed))


def hazard_odds(rule: HazardRule, dating: Dating[AnyTraces], day: ArrayLike) -> FloatArray:
    """Chance of the rule's event after a job done on a day of each case, shape (...)."""
    return _share(dating, _hurt(rule, dating, day))


def _share(dating: Dating[AnyTraces], hurt: BoolArray) -> FloatArray:
    return np.asarray(np.where(hurt, dating.traces.weights, 0.0).sum(axis=-1))


def _hurt(rule: HazardRule, dating: Dating[AnyTraces], day: ArrayLike) -> BoolArray:
    """Traces in which the rule's event follows a job done on a day of each case, shape (..., traces)."""
    if isinstance(rule, ShortSeason):
        return _too_little_heat(rule, dating, np.asarray(day))
    ahead = np.asarray(day)[..., None, None] + 1 + np.arange(rule.days)
    felt_c = _on(_felt_c(rule, dating.traces, dating.pot), ahead)
    if isinstance(rule, HeatHazard):
        return longest_run(felt_c >= rule.level_c) >= rule.run
    return np.asarray((felt_c <= rule.level_c).any(axis=-1))


def _on(daily_c: FloatArray, columns: NDArray[np.int64]) -> FloatArray:
    """Values of some days of each case, shape (..., traces, days); NaN beyond the traces' last."""
    inside = columns < daily_c.shape[-1]
    picked = np.take_along_axis(daily_c, np.where(inside, columns, 0), axis=-1)
    return np.where(inside, picked, np.nan)


def _felt_c(rule: ColdHazard | HeatHazard, traces: Traces, pot: Pot) -> FloatArray:
    """What the rule looks at: each day's lowest or highest, at the pots or in the middle of one."""
    match rule.name:
        case "root frost":
            return traces.root_zone(pot, on_bench=True).min_c
        case "root heat":
            return traces.root_zone(pot).max_c
        case "heat" | "hot spell":
            return traces.tmax_c
        case _:
            return traces.tmin_c - traces.bench_frost_allowance_c[..., None, None]


def _too_little_heat(rule: ShortSeason, dating: Dating[AnyTraces], day: NDArray[np.int64]) -> BoolArray:
    daily = degree_days(dating.traces, rule.base_c, rule.upper_c)
    left = still_to_come(dating.plain[rule.until], daily)
    return np.asarray(on_column(left, np.minimum(day, daily.shape[-1] - 1)) < rule.need)
