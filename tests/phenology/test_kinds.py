"""Kinds of marker on weather made up so that their dates can be found by hand."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.phenology.kinds import Scene, reached
from season_engine.phenology.progress import NEVER
from season_engine.site import Site
from season_engine.species.schema import DayLengthBelow, FirstFrost, LastFrost, LastHotDay
from season_engine.traces import TraceSet
from season_engine.weather.series import DailySeries
from tests.yards import view_on

FIRST, ON = dt.date(2012, 1, 1), dt.date(2023, 10, 1)
MIDWINTER, MIDSUMMER = 92, 274  # days of the season


def past_of(latitude: float, hot: dict[int, tuple[int, int]] | None = None) -> TraceSet:
    """Past seasons of 22 to 29 degC by day, with 31 degC on one day (month, day) of the years named."""
    n_days = (ON - FIRST).days
    tmax_c = np.random.default_rng(7).uniform(22, 29, n_days)
    for year, (month, day) in (hot or {}).items():
        tmax_c[(dt.date(year, month, day) - FIRST).days] = 31
    series = DailySeries(FIRST, np.full(n_days, 10.0) + np.cos(np.arange(n_days)) / 2, tmax_c)
    return view_on(Site("made up", latitude, 120.0, 10), series, ON).past


def scene_of(traces: TraceSet) -> Scene:
    days = {"midwinter": MIDWINTER, "midsummer": MIDSUMMER, "autumn_end": MIDSUMMER + 150}
    columns = {name: np.full(len(traces), float(traces.season_start + day)) for name, day in days.items()}
    return Scene(traces, columns, pot_l=10)


def short_day(hours: float) -> DayLengthBelow:
    return DayLengthBelow.model_validate(
        {"kind": "day_length_below", "label": "days are short", "after": "midsummer", "hours": hours}
        | {"from": "memory"}
    )


@pytest.mark.parametrize(("latitude", "month"), [(24.0, 12), (-24.0, 6)])
def test_where_the_day_never_gets_so_short_the_shortest_of_the_year_counts(latitude, month) -> None:
    """At 24 degrees 10.65 h by the CBM model (a pin of our own run), on the solstices' dates."""
    traces = past_of(latitude)
    found = reached(short_day(10.5), scene_of(traces))
    dates = {traces.date_of(column) for column in found.dates}
    assert len(dates) == 1
    (day,) = dates
    assert day.month == month and 20 <= day.day <= 23
    assert float(found.need) == pytest.approx(10.65, abs=0.01)


def test_where_it_gets_so_short_the_hours_count_and_the_two_meet() -> None:
    """Nearer and nearer to the tropics the date runs towards the solstice, without a leap."""
    found = []
    for latitude in (51.5, 35.0, 30.0, 28.0, 27.0, 26.0):
        traces = past_of(latitude)
        columns = reached(short_day(10.5), scene_of(traces)).dates
        found.append(int(columns[0]))
        at, before = traces.day_length_h[found[-1]], traces.day_length_h[found[-1] - 1]
        if latitude > 27:
            assert at <= 10.5 < before
    assert found == sorted(found)
    assert found[-1] - found[-2] < 20


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
    scene = Scene(traces, {**scene.dates, **season}, pot_l=10)
    told = [
        {(day.month, day.day) for day in map(traces.date_of, reached(one, scene).dates) if day}
        for one in (first, last)
    ]
    assert told == ([{(11, 10)}, {(4, 21)}] if freezes else [set(), {(1, 1)}])


def last_hot_day(after: str = "midwinter") -> LastHotDay:
    return LastHotDay.model_validate(
        {"kind": "last_hot_day", "label": "heat is past", "after": after, "until": "autumn_end"}
        | {"level_c": 30, "share": 0.2, "from": "practice"}
    )


def test_heat_is_past_once_few_enough_years_have_a_hot_day_still_to_come() -> None:
    """Three of ten seasons have one: 1 July, 10 August, 1 September. With two in ten to come it is past."""
    traces = past_of(45.0, {2015: (7, 1), 2017: (8, 10), 2019: (9, 1)})
    assert len(traces) == 10 and np.ptp(traces.weights) == pytest.approx(0)
    found = {traces.date_of(column) for column in reached(last_hot_day(), scene_of(traces)).dates}
    assert {(day.month, day.day) for day in found} == {(7, 2)}


def test_heat_that_never_comes_is_past_from_the_start_and_none_is_counted_from_what_never_is() -> None:
    traces = past_of(45.0)
    scene = scene_of(traces)
    assert (reached(last_hot_day(), scene).dates == traces.season_start + MIDWINTER).all()
    never = Scene(traces, {**scene.dates, "midwinter": np.full(len(traces), NEVER)}, pot_l=10)
    assert (reached(last_hot_day(), never).dates == NEVER).all()
