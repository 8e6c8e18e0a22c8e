"""One function for each kind of marker: from a trace set to progress towards the marker."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.measures.heat import growing_degree_days, sigmoid_forcing
from season_engine.measures.root_zone import lagged, pot_lag_h
from season_engine.measures.runs import mean_of_last
from season_engine.measures.soft_response import heat_needed_after_chill
from season_engine.phenology.progress import NEVER, Progress, Reached, since, still_to_come
from season_engine.species import schema
from season_engine.species.build import depends_on
from season_engine.traces import TraceSet

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Scene:
    """What a marker is dated in: the traces, the markers dated before it, and the pot the tree stands in."""

    traces: TraceSet
    dates: Mapping[str, FloatArray]  # columns of the markers already dated, shape (traces,)
    pot_l: float

    def root_zone_c(self) -> FloatArray:
        """Daily mean temperature in the middle of the pot, shape (traces, days)."""
        return self.traces.once(("root zone", self.pot_l), self._root_zone_c)

    def _root_zone_c(self) -> FloatArray:
        air_c = self.traces.mean_c + self.traces.site.pots_warmer_c
        return lagged(air_c, float(pot_lag_h(self.pot_l)) / 24)


def reached(marker: schema.Marker, scene: Scene) -> Reached:
    """Dates of `marker`, worked out once for all species that have it and count it from the same days."""
    counted_from = tuple(scene.dates[name].tobytes() for name in depends_on(marker))
    return scene.traces.once(
        (marker, scene.pot_l, counted_from), lambda: progress_of(marker, scene).by(scene.traces.observed_days)
    )


def progress_of(marker: schema.Marker, scene: Scene) -> Progress:
    """Progress towards `marker`, given the dates of those it depends on."""
    return _KINDS[marker.kind](marker, scene)


def _season_day(marker: schema.SeasonDay, scene: Scene) -> Progress:
    days = np.arange(scene.traces.days.size, dtype=np.float64) - scene.traces.season_start
    return Progress(_every_trace(days, scene.traces), np.array(float(marker.day)), _from_start(scene.traces))


def _chill_met(marker: schema.ChillMet, scene: Scene) -> Progress:
    return Progress(_chill_so_far(scene.traces), np.array(marker.need), _from_start(scene.traces))


def _heat_after(marker: schema.HeatAfter, scene: Scene) -> Progress:
    start = scene.dates[marker.after]
    return Progress(since(start, _heat(marker, scene.traces)), np.array(marker.need), start)


def _heat_softened_by_chill(marker: schema.HeatSoftenedByChill, scene: Scene) -> Progress:
    start = scene.dates[marker.after]
    chill = _chill_so_far(scene.traces)
    need = heat_needed_after_chill(chill, 0.0, marker.need, marker.softening)
    return Progress(since(start, _heat(marker, scene.traces)), need, start)


def _softened_forcing(marker: schema.SoftenedForcing, scene: Scene) -> Progress:
    start = scene.dates[marker.after]
    chill = _chill_so_far(scene.traces)
    need = heat_needed_after_chill(chill, 0.0, marker.need, marker.softening)
    key = "forcing", marker.steepness_per_c, marker.middle_c
    daily = scene.traces.once(key, lambda: sigmoid_forcing(scene.traces.hourly_c, *key[1:]).mean(axis=2))
    return Progress(since(start, daily), need, start)


def _heat_left_below(marker: schema.HeatLeftBelow, scene: Scene) -> Progress:
    left = still_to_come(scene.dates[marker.until], _heat(marker, scene.traces))
    return Progress(left, np.array(marker.need), scene.dates[marker.after], falling=True)


def _mean_above(marker: schema.MeanAbove, scene: Scene) -> Progress:
    return Progress(_running_mean(marker, scene), np.array(marker.level_c), scene.dates[marker.after])


def _mean_below(marker: schema.MeanBelow, scene: Scene) -> Progress:
    return Progress(
        _running_mean(marker, scene), np.array(marker.level_c), scene.dates[marker.after], falling=True
    )


def _day_length_above(marker: schema.DayLengthAbove, scene: Scene) -> Progress:
    hours = _every_trace(scene.traces.day_length_h, scene.traces)
    return Progress(hours, np.array(marker.hours), scene.dates[marker.after])


def _day_length_below(marker: schema.DayLengthBelow, scene: Scene) -> Progress:
    """Towards the tropics the day never gets so short: what it ends there, it ends with the shortest."""
    hours = _every_trace(scene.traces.day_length_h, scene.traces)
    need = max(marker.hours, float(hours.min()))
    return Progress(hours, np.array(need), scene.dates[marker.after], falling=True)


def _days_after(marker: schema.DaysAfter, scene: Scene) -> Progress:
    since_other = np.arange(scene.traces.days.size) - scene.dates[marker.after][:, None]
    return Progress(since_other, np.array(float(marker.days)), np.full(len(scene.traces), -NEVER))


def _hot_day_odds(marker: schema.HotDayOdds, scene: Scene) -> Progress:
    """Share of the traces that have had such a day by each date; the same in every row."""
    counted = np.arange(scene.traces.days.size) >= scene.dates[marker.after][:, None]
    had_one = np.logical_or.accumulate((scene.traces.tmax_c >= marker.level_c) & counted, axis=1)
    share = _every_trace(scene.traces.weights @ had_one, scene.traces)
    return Progress(share, np.array(marker.share), scene.dates[marker.after])


def _heat_share(marker: schema.HeatShare, scene: Scene) -> Progress:
    """Heat against the mean year of the place, from the season's start on; this season has no part in it."""
    usual = scene.traces.usual or scene.traces
    year = slice(usual.season_start, usual.season_start + 365)
    annual = float(usual.weights @ _degree_days(usual, marker.base_c)[:, year].sum(axis=1))
    start = scene.dates[marker.after]
    heat = since(start, _degree_days(scene.traces, marker.base_c))
    return Progress(heat, np.array(marker.share * annual), start)


def _first_frost(marker: schema.FirstFrost, scene: Scene) -> Progress:
    """Share of the traces that have had such a night by each date; the same in every row."""
    counted = np.arange(scene.traces.days.size) >= scene.dates[marker.after][:, None]
    had_one = np.logical_or.accumulate(_cold_at_the_pots(scene.traces, marker.level_c) & counted, axis=1)
    share = _every_trace(scene.traces.weights @ had_one, scene.traces)
    return Progress(share, np.array(marker.share), scene.dates[marker.after])


def _last_frost(marker: schema.LastFrost, scene: Scene) -> Progress:
    return _last_of_year(_cold_at_the_pots(scene.traces, marker.level_c), marker, scene)


def _last_hot_day(marker: schema.LastHotDay, scene: Scene) -> Progress:
    return _last_of_year(scene.traces.tmax_c >= marker.level_c, marker, scene)


def _last_of_year(
    harm: NDArray[np.bool_], marker: schema.LastFrost | schema.LastHotDay, scene: Scene
) -> Progress:
    """Share of the traces with such a day still to come; years without any count as none."""
    counted = np.arange(scene.traces.days.size) < scene.dates[marker.until][:, None]
    to_come = np.logical_or.accumulate((harm & counted)[:, ::-1], axis=1)[:, ::-1]
    share = _every_trace(scene.traces.weights @ to_come, scene.traces)
    return Progress(share, np.array(marker.share), scene.dates[marker.after], falling=True)


def _cold_at_the_pots(traces: TraceSet, level_c: float) -> NDArray[np.bool_]:
    return traces.tmin_c - traces.site.bench_frost_allowance_c <= level_c


def _heat(marker: schema.Heat, traces: TraceSet) -> FloatArray:
    return _degree_days(traces, marker.base_c, marker.upper_c)


def _degree_days(traces: TraceSet, base_c: float, upper_c: float | None = None) -> FloatArray:
    return traces.once(
        ("degree days", base_c, upper_c),
        lambda: growing_degree_days(traces.tmin_c, traces.tmax_c, base_c=base_c, upper_c=upper_c),
    )


def _chill_so_far(traces: TraceSet) -> FloatArray:
    return traces.once("chill so far", lambda: np.cumsum(traces.chill_portions, axis=1))


def _running_mean(marker: schema.MeanAbove | schema.MeanBelow, scene: Scene) -> FloatArray:
    in_pot = marker.zone == "root"

    def work_out() -> FloatArray:
        return mean_of_last(marker.days, scene.root_zone_c() if in_pot else scene.traces.mean_c)

    return scene.traces.once(("running mean", marker.days, scene.pot_l if in_pot else None), work_out)


def _every_trace(days: FloatArray, traces: TraceSet) -> FloatArray:
    return np.broadcast_to(days, (len(traces), traces.days.size))


def _from_start(traces: TraceSet) -> FloatArray:
    return np.full(len(traces), float(traces.season_start))


_KINDS: dict[str, Callable[[Any, Scene], Progress]] = {
    "season_day": _season_day,
    "chill_met": _chill_met,
    "heat_after": _heat_after,
    "heat_softened_by_chill": _heat_softened_by_chill,
    "softened_forcing": _softened_forcing,
    "heat_left_below": _heat_left_below,
    "mean_above": _mean_above,
    "mean_below": _mean_below,
    "day_length_above": _day_length_above,
    "day_length_below": _day_length_below,
    "days_after": _days_after,
    "hot_day_odds": _hot_day_odds,
    "heat_share": _heat_share,
    "first_frost": _first_frost,
    "last_frost": _last_frost,
    "last_hot_day": _last_hot_day,
}
