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
from season_engine.windows.opening import Ends, Opening

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
    return bool(warmth_lacks(rules, dating, dating.traces.column(on)))


def warmth_lacks(rules: Sequence[HazardRule], dating: Dating[AnyTraces], day: ArrayLike) -> BoolArray:
    """The same for a day of each case, shape (...)."""
    of_warmth = [rule for rule in rules if isinstance(rule, ShortSeason)]
    found = [hazard_odds(rule, dating, day) > rule.limit for rule in of_warmth]
    return np.asarray(np.any(found, axis=0)) if found else np.zeros(np.shape(day), dtype=bool)


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
    day = dating.traces.column(on)
    hurts = [_hurt(rule, dating, day) for rule in rules]
    felt = [hurt for rule, hurt in zip(rules, hurts, strict=True) if not _spared(rule, sheltered=sheltered)]
    return WeekAhead(
        date=on,
        chance_open=float(opening.open_on(day)),
        chance_closed=float(opening.weights[opening.closes <= day].sum()),
        hazards=tuple(float(_share(dating, hurt)) for hurt in hurts),
        chance_good=float(_chance_good(opening, day, felt)),
    )


def chance_good(
    rules: Sequence[HazardRule], dating: Dating[AnyTraces], ends: Ends, day: ArrayLike, *, sheltered: bool
) -> FloatArray:
    """Chance that the window is open on a day of each case and nothing hurts after a job done then; (...)."""
    felt = [_hurt(rule, dating, day) for rule in rules if not _spared(rule, sheltered=sheltered)]
    return _chance_good(ends, day, felt)


def _chance_good(ends: Ends, day: ArrayLike, hurts: Sequence[BoolArray]) -> FloatArray:
    good = ends.is_open(day)
    for hurt in hurts:
        good = good & ~hurt[..., None]
    return np.asarray(np.where(good, ends.weights, 0.0).sum(axis=(-2, -1)))


def _spared(rule: HazardRule, *, sheltered: bool) -> bool:
    """Whether a tree needn't suffer it: shelter spares it the cold, shade its roots the heat."""
    return rule.name == "root heat" or (sheltered and isinstance(rule, ColdHazard))


def seldom_well(
    rules: Sequence[HazardRule],
    past: Dating[AnyTraces],
    opens: ArrayLike,
    closes: ArrayLike,
    *,
    sheltered: bool,
) -> FloatArray:
    """The best chance that nothing hurts a tree after a job done in its usual window, where that is small.

    Over whole past seasons, on a few days from the first of these columns of each case to the last before the
    other. NaN where it is no less than `HARDLY_EVER`, or there is no usual window. Shape (...).
    """
    rules = [rule for rule in rules if not _spared(rule, sheltered=sheltered)]
    here = np.isfinite(opens) & np.isfinite(closes) & bool(rules)
    first, last = np.where(here, opens, 0.0), np.where(here, closes, 0.0)
    days = np.linspace(first, np.maximum(last - 1, first), DAYS_LOOKED_AT, axis=-1).round().astype(np.int64)
    best, small = np.zeros(here.shape), here
    for place in range(DAYS_LOOKED_AT):
        if not small.any():
            break
        best = np.maximum(best, chance_unharmed(rules, past, days[..., place]))
        small = small & (best < HARDLY_EVER)
    return np.where(small, best, np.nan)


def well_when_too_late(
    rules: Sequence[HazardRule], dating: Dating[AnyTraces], opens: ArrayLike, *, sheltered: bool
) -> FloatArray:
    """The chance that nothing hurts a tree worked on a window's first day, where warmth is too little then.

    No day after has more of it left, so that one has the best odds of the whole window. `opens` is a column
    of each case; NaN where there is warmth enough. Shape (...).
    """
    lacks = warmth_lacks(rules, dating, opens)
    if not lacks.any():
        return np.full(lacks.shape, np.nan)
    rules = [rule for rule in rules if not _spared(rule, sheltered=sheltered)]
    return np.where(lacks, chance_unharmed(rules, dating, opens), np.nan)


def chance_unharmed(rules: Sequence[HazardRule], dating: Dating[AnyTraces], day: ArrayLike) -> FloatArray:
    """Chance that none of the rules' events follows a job done on a day of each case, shape (...)."""
    return 1.0 - _share(dating, np.any([_hurt(rule, dating, day) for rule in rules], axis=0))


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
    felt_c = _on(_felt_c(rule, dating.traces, dating.pot, ahead), ahead)
    if isinstance(rule, HeatHazard):
        return longest_run(felt_c >= rule.level_c) >= rule.run
    return np.asarray((felt_c <= rule.level_c).any(axis=-1))


def _on(daily_c: FloatArray, columns: NDArray[np.int64]) -> FloatArray:
    """Values of some days of each case, shape (..., traces, days); NaN beyond the traces' last."""
    inside = columns < daily_c.shape[-1]
    picked = np.take_along_axis(daily_c, np.where(inside, columns, 0), axis=-1)
    return np.where(inside, picked, np.nan)


def _felt_c(
    rule: ColdHazard | HeatHazard, traces: Traces, pot: Pot, columns: NDArray[np.int64]
) -> FloatArray:
    """What the rule looks at: each day's lowest or highest, at the pots or in the middle of one.

    That of the middle may be missing on other days than the columns asked for.
    """
    match rule.name:
        case "root frost":
            return traces.root_zone_extreme_c(pot, columns, lowest=True, on_bench=True)
        case "root heat":
            return traces.root_zone_extreme_c(pot, columns, lowest=False)
        case "heat" | "hot spell":
            return traces.tmax_c
        case _:
            return traces.tmin_c - traces.bench_frost_allowance_c[..., None, None]


def _too_little_heat(rule: ShortSeason, dating: Dating[AnyTraces], day: NDArray[np.int64]) -> BoolArray:
    until = dating.plain[rule.until]
    left = dating.traces.once(
        ("degree days left", rule.base_c, rule.upper_c, until.tobytes()),
        lambda: still_to_come(until, degree_days(dating.traces, rule.base_c, rule.upper_c)),
    )
    return np.asarray(on_column(left, np.minimum(day, left.shape[-1] - 1)) < rule.need)
