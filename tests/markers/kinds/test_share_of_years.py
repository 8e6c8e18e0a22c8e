"""Cold nights and hot days by the share of years that have had one, on made-up weather."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.markers.kinds.share_of_years import FirstFrost, LastFrost, LastHotDay
from season_engine.markers.progress import NEVER
from season_engine.markers.scene import Scene
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.site import Site
from season_engine.traces import TraceSet
from season_engine.weather.series import DailySeries
from tests.markers.scenes import FIRST, MIDWINTER, ON, past_of, scene_of
from tests.yards import view_on


def nights_of(coldest_c: float) -> TraceSet:
    """Past seasons of mild nights, but for two in each: so cold on 10 November and on 20 April."""
    n_days = (ON - FIRST).days
    tmin_c = np.full(n_days, 6.0) + np.cos(np.arange(n_days)) / 2
    for year in range(FIRST.year, ON.year):
        for month, day in ((11, 10), (4, 20)):
            tmin_c[(dt.date(year, month, day) - FIRST).days] = coldest_c
    site = Site("made up", 45.0, 120.0, 10, bench_frost_allowance_c=2.0)
    return view_on(site, DailySeries(FIRST, tmin_c, tmin_c + 9.0), ON).past


@pytest.mark.parametrize(("coldest_c", "freezes"), [(1.9, True), (2.0, True), (2.1, False)])
def test_a_night_as_cold_as_the_level_is_a_frost(coldest_c: float, freezes: bool) -> None:
    """At the pots, two degrees colder here: "0 degC or colder", as freeze normals have it."""
    traces = nights_of(coldest_c)
    scene = scene_of(traces)
    common = {"label": "frost", "level_c": 0, "share": 0.5, "from": "practice"}
    first = FirstFrost.model_validate({"kind": "first_frost", "after": "season", **common})
    last = LastFrost.model_validate(
        {"kind": "last_frost", "after": "midwinter", "until": "midsummer", **common}
    )
    season = {"season": np.full(len(traces), float(traces.season_start))}
    scene = Scene(traces, {**scene.dates, **season}, pot=MEDIUM_POT)
    told = [
        {(day.month, day.day) for day in map(traces.date_of, one.reached(scene).dates) if day}
        for one in (first, last)
    ]
    assert told == ([{(11, 10)}, {(4, 21)}] if freezes else [set(), {(1, 1)}])


@pytest.mark.parametrize(("until", "comes"), [((11, 9), False), ((11, 10), False), ((11, 11), True)])
def test_a_first_frost_counts_only_before_the_marker_it_is_counted_until(until, comes: bool) -> None:
    traces = nights_of(1.9)
    column = float(traces.column(dt.date(traces.season.year, *until)))
    days = {"season": float(traces.season_start), "end": column}
    scene = Scene(traces, {name: np.full(len(traces), day) for name, day in days.items()}, MEDIUM_POT)
    first = FirstFrost.model_validate(
        {"kind": "first_frost", "label": "frost", "after": "season", "until": "end"}
        | {"level_c": 0, "share": 0.5, "from": "practice"}
    )
    assert first.depends_on == ("season", "end")
    found = first.reached(scene).dates
    assert (found == traces.column(dt.date(traces.season.year, 11, 10)) if comes else found == NEVER).all()


def last_hot_day(after: str = "midwinter") -> LastHotDay:
    return LastHotDay.model_validate(
        {"kind": "last_hot_day", "label": "heat is past", "after": after, "until": "autumn_end"}
        | {"level_c": 30, "share": 0.2, "from": "practice"}
    )


def test_heat_is_past_once_few_enough_years_have_a_hot_day_still_to_come() -> None:
    """Three of ten seasons have one: 1 July, 10 August, 1 September. With two in ten to come it is past."""
    traces = past_of(45.0, {2015: (7, 1), 2017: (8, 10), 2019: (9, 1)})
    assert len(traces) == 10 and np.ptp(traces.weights) == pytest.approx(0)
    found = {traces.date_of(column) for column in last_hot_day().reached(scene_of(traces)).dates}
    assert {(day.month, day.day) for day in found} == {(7, 2)}


def test_heat_that_never_comes_is_past_from_the_start_and_none_is_counted_from_what_never_is() -> None:
    traces = past_of(45.0)
    scene = scene_of(traces)
    assert (last_hot_day().reached(scene).dates == traces.season_start + MIDWINTER).all()
    never = Scene(traces, {**scene.dates, "midwinter": np.full(len(traces), NEVER)}, pot=MEDIUM_POT)
    assert (last_hot_day().reached(never).dates == NEVER).all()
