"""Whether a danger is at hand: by the forecast where there is one, else by odds worth acting on.

A danger's stretch is the run of days on which, by past seasons, the odds of harm within ten days are worth
acting on. It moves little from week to week, so that what begins is told as new once, in any week, by the
weather alone.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from season_engine.advice.dangers import Danger, Face, chance_within
from season_engine.advice.outdoors import CLEAR_RANGE_C, YEAR_DAYS, Outdoors
from season_engine.measures.runs import run_lengths
from season_engine.pot import Pot
from season_engine.traces import TraceSet

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

Stage = Literal["begins", "lasts", "ends"]
DAYS = 10  # ahead in which harm is looked for
A_WEEK = 7  # from one report to the next
SAME_STRETCH_DAYS = 28  # apart, two runs of days are one stretch: nothing is carried in and out for less
MOVED: frozenset[Face] = frozenset(
    {"cold night", "cool night", "cold roots", "early frost", "late frost", "frozen ball"}
)
BY_READINGS: frozenset[Face] = frozenset({"frozen ball", "waking"})  # harm goes on once it has begun


@dataclass(frozen=True, slots=True)
class Spell:
    """The days forecast on which a danger comes, and the worst of them [degC]."""

    first: dt.date
    last: dt.date
    worst_c: float


@dataclass(frozen=True, slots=True)
class Alarm:
    """A danger that is at hand, goes on, or is over."""

    danger: Danger
    stage: Stage
    level_c: float  # from which it harms in the coming days
    chance: float  # that it comes within ten days
    by: dt.date  # the day by whose evening to act
    until: dt.date | None = None  # when it is over, as far as that can be told
    spell: Spell | None = None  # None: no forecast holds it
    here: bool = False  # it has come by the readings, and goes on


class Stretch(NamedTuple):
    """Columns of the first day and of the day after the last."""

    first: int
    end: int


def alarm_of(danger: Danger, pot: Pot, outdoors: Outdoors) -> Alarm | None:
    """What there is to say of a danger today; None: nothing."""
    today = outdoors.today
    seen = _hurts(danger, outdoors.now_c(danger.felt, pot), outdoors.clear_now)
    ahead = np.flatnonzero(seen[today + 1 :]) + today + 1
    lately = bool(seen[max(today + 1 - A_WEEK, 0) : today + 1].any())
    odds = _odds(danger, pot, outdoors, outdoors.past)
    stretch = _stretch(danger, odds, today)
    came = danger.face in MOVED and stretch is not None and bool(seen[stretch.first : today + 1].any())
    if ahead.size:
        return _forecast(danger, pot, outdoors, ahead, stretch, lasts=lately or came)
    if outdoors.season.forecast_days:
        stage = _in_mild_forecast(danger, stretch, today, lately=lately, came=came)
    else:
        stage = _by_odds(danger, stretch, seen, today, lately=lately)
    if stage is None:
        return None
    by, over = _act_by(danger, pot, outdoors), stage == "ends"
    until = outdoors.date_of(stretch.end) if stretch and not over else None
    here = danger.face in BY_READINGS and bool(seen.size) and bool(seen[-1])
    if stage == "begins" and until is not None and until <= by and not here:
        return None  # over before it is worth a move
    if over and stretch and stretch.end - stretch.first < A_WEEK:
        return None  # and so it was
    chance = 0.0 if over else float(odds[today])
    harmful = today if here else outdoors.season.column(by) + 1  # by then a bud may bear less than today
    return Alarm(danger, stage, _level_c(danger, harmful), chance, by, until, here=here)


def returns(danger: Danger, pot: Pot, outdoors: Outdoors) -> bool:
    """Whether it is to be feared again so soon that nothing is taken out for it."""
    odds = _odds(danger, pot, outdoors, outdoors.past)
    return bool((odds[outdoors.today :][:SAME_STRETCH_DAYS] >= danger.worth).any())


def _in_mild_forecast(
    danger: Danger, stretch: Stretch | None, today: int, *, lately: bool, came: bool
) -> Stage | None:
    """Where no such day is forecast: what was told before goes on, or is over."""
    if danger.face not in MOVED:
        return None
    if stretch is None:
        return "ends" if lately else None
    if not came:
        return None
    return "lasts" if today < stretch.end else "ends"


def _by_odds(
    danger: Danger, stretch: Stretch | None, seen: BoolArray, today: int, *, lately: bool
) -> Stage | None:
    told = bool(seen[max(today + 1 - SAME_STRETCH_DAYS, 0) : max(today + 1 - A_WEEK, 0)].any())
    if danger.face in BY_READINGS and seen.size > today - A_WEEK and seen[-1]:
        return "lasts" if told else "begins"
    if stretch is None or (danger.face == "waking" and told):
        return None
    if today >= stretch.end:
        return "ends" if danger.face in MOVED else None
    if stretch.first > today - A_WEEK:
        return "begins"
    return "lasts" if danger.face in MOVED or danger.face == "cold after work" or lately else None


def _forecast(
    danger: Danger,
    pot: Pot,
    outdoors: Outdoors,
    ahead: NDArray[np.intp],
    stretch: Stretch | None,
    *,
    lasts: bool,
) -> Alarm:
    values = outdoors.now_c(danger.felt, pot)[ahead]
    first, last = outdoors.date_of(int(ahead[0])), outdoors.date_of(int(ahead[-1]))
    worst = float(values.max() if danger.hot else values.min())
    until = int(ahead[-1]) + 1
    if stretch and danger.face in MOVED:
        until = max(until, stretch.end)
    over = until < outdoors.known or bool(stretch)
    return Alarm(
        danger,
        "lasts" if lasts else "begins",
        _level_c(danger, int(ahead[0])),
        float(_odds(danger, pot, outdoors, outdoors.season)[outdoors.today]),
        max(first - dt.timedelta(days=1), outdoors.on),
        outdoors.date_of(until) if over else None,
        Spell(first, last, worst),
    )


def _hurts(danger: Danger, felt_c: FloatArray, clear: BoolArray) -> BoolArray:
    """Days on which it harms, or has by then, shape of `felt_c`."""
    days = slice(0, felt_c.shape[-1])
    level = danger.level_c[days] + np.where(
        clear, np.broadcast_to(danger.clear_c, danger.level_c.shape)[days], 0
    )
    harmful = felt_c >= level if danger.hot else felt_c <= level
    return np.asarray(run_lengths(harmful) >= danger.run)


def _odds(danger: Danger, pot: Pot, outdoors: Outdoors, traces: TraceSet) -> FloatArray:
    """Chance of harm within ten days of each day, shape (days,)."""
    if not len(traces) or np.isnan(danger.level_c).all() or not _possible(danger, traces):
        return np.zeros(danger.level_c.size)
    return chance_within(_hurts_in(danger, pot, outdoors, traces), traces.weights, DAYS)


def _hurts_in(danger: Danger, pot: Pot, outdoors: Outdoors, traces: TraceSet) -> BoolArray:
    """In each trace the days on which it harms, shape (traces, days)."""
    clear = traces.tmax_c - traces.tmin_c >= CLEAR_RANGE_C
    return _hurts(danger, outdoors.of_traces_c(danger.felt, pot, traces), clear)


def _possible(danger: Danger, traces: TraceSet) -> bool:
    """Whether a frozen ball can come at all: where no five days' mean is below freezing, no pot is asked."""
    if danger.felt != "mean roots":
        return True
    return bool((run_lengths(traces.mean_c - traces.bench_frost_allowance_c / 2 <= 0) >= danger.run).any())


def _stretch(danger: Danger, odds: FloatArray, today: int) -> Stretch | None:
    """The stretch that holds today, or ended within the last week; none begins before there is danger.

    So nothing goes in before it is hard, and no frost is late before buds swell.
    """
    worth_it = ((odds >= danger.worth) & ~np.isnan(danger.level_c))[:-DAYS]  # the last days see no further
    worth = np.flatnonzero(np.concatenate([worth_it, worth_it[-YEAR_DAYS:]]))
    if not worth.size:
        return None
    breaks = np.flatnonzero(np.diff(worth) > SAME_STRETCH_DAYS)
    firsts = worth[np.concatenate([[0], breaks + 1])]
    ends = worth[np.concatenate([breaks, [worth.size - 1]])] + 1
    for first, end in zip(firsts.tolist(), ends.tolist(), strict=True):
        if first <= today < end + A_WEEK:
            return Stretch(first, end)
    return None


def _level_c(danger: Danger, day: int) -> float:
    """The level of the first day from this one on that has one, else the last."""
    some = np.flatnonzero(~np.isnan(danger.level_c))
    later = some[some >= day]
    return float(danger.level_c[later[0] if later.size else some[-1]])


def _act_by(danger: Danger, pot: Pot, outdoors: Outdoors) -> dt.date:
    """The evening before the first day by which the odds of harm since today are worth acting on."""
    today, past = outdoors.today, outdoors.past
    if not len(past):
        return outdoors.on
    hurts = _hurts_in(danger, pot, outdoors, past)
    by = past.weights @ np.logical_or.accumulate(hurts[:, today + 1 : today + 1 + DAYS], axis=1)
    enough = np.flatnonzero(by >= danger.worth)
    return outdoors.date_of(today + int(enough[0])) if enough.size else outdoors.on
