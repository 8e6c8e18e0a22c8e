"""Weather that harms: which trees, when it is told, and when they come out again; invented yards."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.advice.dangers import GROWING, REST, SOFT, SWELLING, TreeYear, chance_within
from season_engine.advice.first_screen import first_screen
from season_engine.advice.harm import UNDER_COVER, harms
from season_engine.advice.outdoors import Outdoors
from season_engine.note import Note
from season_engine.windows.hazard import ColdNight, HotDays
from season_engine.windows.yard import Yard
from tests.benchmarks.harm_weeks import COLD, FROZEN, HEAT, WARM, made_yard, mild_record, sentences
from tests.factories import days
from tests.yards import NORTH, SOUTH, readings

JANUARY, JULY = dt.date(2025, 1, 13), dt.date(2025, 7, 14)


def found(site, on, ahead=()):
    return harms(made_yard(site, on, ahead))


def no_record(_a: object, _end: object) -> None:
    """What an earlier report said: there is none."""


def by_face(told):
    return {(one.face, one.stage): one for one in told}


def test_a_heat_wave_names_every_tree_once_and_asks_for_shade_by_the_evening_before():
    yard = made_yard(SOUTH, JANUARY, HEAT)
    (heat,) = [one for one in harms(yard) if one.hot]
    assert sorted(heat.trees) == ["a", "f", "j", "m", "o", "p", "t"], "43 is over every ceiling, a fig's too"
    assert (heat.spell.first, heat.spell.last, heat.spell.worst_c) == (
        JANUARY + days(2), JANUARY + days(5), 43,
    )  # fmt: skip
    assert (heat.by, heat.act, heat.event) == (JANUARY + days(1), "shade and water", HotDays(35.0))
    assert "Up to 43 °C forecast" in sentences(yard, [heat])[0]


def test_work_that_is_due_is_not_left_out_in_a_heat_wave_but_waits():
    """As a fig's repotting, whose own hazard is not so hot."""
    works = []
    for ahead in (HEAT, ()):
        made = made_yard(SOUTH, JANUARY, ahead)
        trees = [replace(tree, last_repotted=JANUARY - days(2200)) for tree in made.trees]
        yard = Yard(made.view, made.catalogue, trees)
        works.append(first_screen(yard, yard.judged, JANUARY - days(7), no_record).work)
    told, usual = works
    keys = [{(one.first.species, one.first.job) for one in work} for work in (told, usual)]
    assert keys[1] and keys[0] == keys[1], "none is left out"
    assert all(a.today not in ("do", "only-with-shelter") for one in told for a in one.assessments)
    assert any(a.today == "do" for one in usual for a in one.assessments)


@pytest.mark.parametrize(("high", "who"), [(34.9, ""), (35.5, "amt"), (39.0, "ajmpt"), (40.0, "afjmopt")])
def test_the_alarm_is_at_the_ceiling_and_never_under_35(high, who):
    """Ceilings of the catalogue: maple, apricot 35, pine, juniper 38, olive and fig 40; no source."""
    hot = {tree for one in found(SOUTH, JANUARY, [(15, high), (15, 25)]) if one.hot for tree in one.trees}
    assert "".join(sorted(hot)) == who


def test_after_work_the_alarm_is_at_the_job_s_own_level():
    """The catalogue's for pinching: 33 within a week; a maple's ceiling is 35."""
    yard = made_yard(SOUTH, JANUARY, [(15, 34.0), (15, 25)])
    note = Note(JANUARY - days(3), "south", tree="a", job="pinching")
    worked = Yard(yard.view, yard.catalogue, yard.trees, [note])
    assert not [one for one in harms(yard) if one.hot]
    (heat,) = [one for one in harms(worked) if one.hot]
    assert (heat.trees, heat.job, heat.worked_on) == (("a",), "pinching", JANUARY - days(3))


def test_a_cold_night_moves_what_can_be_moved_and_wraps_the_rest():
    cold = by_face(harms(made_yard(SOUTH, JULY, COLD, mild_record())))["cold night", "begins"]
    assert cold.spell.first == JULY + days(2) and cold.spell.worst_c == -9
    assert cold.by == JULY + days(1)
    assert cold.heavy == ("p",) and {"a", "o", "m", "t"} <= set(cold.trees)
    assert "j" not in cold.trees, "a juniper bears -12"


@pytest.mark.parametrize(("low", "told"), [(-3.5, "o"), (-5.5, "ot"), (-8.5, "amopt")])
def test_a_night_harms_those_whose_floor_it_reaches(low, told):
    """At rest olive -3, trident -5, apricot -6, maple, black pine -8: common practice, no source."""
    night = found(SOUTH, JULY, [(0, 9), (low, 8), (2, 9)])
    cold = {tree for one in night if one.face == "cold night" and one.spell for tree in one.trees} - {"f"}
    assert "".join(sorted(cold)) == told


def test_a_cold_night_on_an_open_bench_is_colder_than_at_the_screen():
    """A juniper's floor is -12, and the bench is told to be 4 lower."""
    yard = made_yard(replace(SOUTH, bench_frost_allowance_c=4.0), JULY, COLD, readings(SOUTH))
    assert "j" in by_face(harms(yard))["cold night", "begins"].trees


def test_a_ball_frozen_for_days_asks_for_shade_and_a_screen_round_evergreens():
    told = [one for one in found(NORTH, dt.date(2025, 2, 17), FROZEN) if one.face == "frozen ball"]
    assert {tree for one in told for tree in one.trees} <= {"p", "j", "o"} and told
    assert all(one.act == "screen" for one in told if one.stage != "ends")


def test_a_warm_week_before_frost_wakes_apricot_and_trident():
    waking = by_face(found(NORTH, dt.date(2025, 2, 3), WARM))["waking", "begins"]
    assert set(waking.trees) == {"m", "t"} and waking.act == "keep cool"
    assert not [one for one in found(SOUTH, JULY, [(9, 14)] * 6) if one.face == "waking"], "no winter there"


def test_a_forecast_that_is_mild_is_believed():
    mild = [(3, 9)] * 9
    assert not [one for one in found(SOUTH, JULY, mild) if one.stage == "begins"]


@pytest.fixture(scope="module")
def winter():
    """A cold yard from autumn to summer, week by week, without a forecast."""
    return [(on, found(NORTH, on)) for on in (dt.date(2024, 9, 2) + days(7 * week) for week in range(44))]


def test_each_move_is_told_once_and_goes_on_as_a_short_line_until_it_is_over(winter):
    of_maple = [(one.face, one.stage) for _, told in winter for one in told if "a" in one.trees]
    assert of_maple.count(("early frost", "begins")) == 1
    assert sum(stage == "begins" for face, stage in of_maple if face in UNDER_COVER) == 1
    assert ("late frost", "ends") in of_maple
    fig = [(on, one.stage) for on, told in winter for one in told if "f" in one.trees and not one.hot]
    stages = [stage for _, stage in fig]
    assert stages[0] == "begins" and stages[-1] == "ends" and set(stages[1:-1]) == {"lasts"}
    assert fig[0][0].month in (8, 9) and fig[-1][0].month in (5, 6), "in for the cold half of the year"


def test_no_end_lies_in_the_past_and_nothing_is_to_be_done_by_a_day_gone_by(winter):
    frozen = found(NORTH, dt.date(2025, 2, 17), FROZEN)
    for on, told in [*winter, (dt.date(2025, 2, 17), frozen)]:
        assert all(one.until is None or one.until > on for one in told)
        assert all(one.by >= on for one in told)


def test_short_days_harden_where_it_is_hardly_cold():
    """By midwinter at the latest, common practice: else a mild place has tender trees until it warms."""
    for site in (NORTH, SOUTH):
        yard = made_yard(site, dt.date(2025, 1, 13))
        season = Outdoors(yard.view).season
        history, prospect = next(pair for pair in yard.own if pair[0].tree.id == "a")
        year = TreeYear(history, prospect, Outdoors(yard.view))
        assert year.states[season.column(season.season.shortest_day)] == REST


def test_nothing_goes_in_for_the_winter_before_it_is_hard(winter):
    outdoors = Outdoors(made_yard(NORTH, dt.date(2024, 11, 1)).view)
    hardened = outdoors.date_of(outdoors.hardened)
    first = min(on for on, told in winter for one in told if one.face == "cold night" and "a" in one.trees)
    assert first >= hardened - days(14)


def test_a_tree_s_year_goes_from_rest_to_swelling_to_soft_leaf_and_the_floor_rises_with_it():
    yard = made_yard(NORTH, dt.date(2025, 1, 13))
    outdoors = Outdoors(yard.view)
    history, prospect = next(pair for pair in yard.own if pair[0].tree.id == "a")
    year = TreeYear(history, prospect, outdoors)
    changes = year.states[np.flatnonzero(np.diff(year.states, prepend=-1))].tolist()
    start = changes.index(REST)
    assert changes[start : start + 4] == [REST, SWELLING, SOFT, GROWING]
    levels = {one.face: np.nanmax(one.level_c) for one in year.dangers() if one.felt == "night"}
    assert levels == {"cold night": -8.0, "early frost": -3.0, "late frost": 0.0}


def test_a_tree_that_never_hardens_has_one_floor_all_year():
    yard = made_yard(NORTH, dt.date(2025, 1, 13))
    history, prospect = next(pair for pair in yard.own if pair[0].tree.id == "f")
    cold = [one for one in TreeYear(history, prospect, Outdoors(yard.view)).dangers() if not one.hot]
    assert [one.face for one in cold] == ["cool night"] and set(cold[0].level_c) == {5.0}


def test_what_is_read_later_changes_nothing():
    """The same day looked at from a record that goes on and from one that ends there."""
    on = dt.date(2024, 11, 18)
    assert harms(made_yard(NORTH, on)) == harms(made_yard(NORTH, on, series=readings(NORTH).cut(on)))


@given(
    st.lists(st.lists(st.booleans(), min_size=30, max_size=30), min_size=1, max_size=5), st.integers(1, 12)
)
def test_the_chance_within_days_is_the_share_of_traces_with_one(hurts, ahead):
    array = np.array(hurts)
    weights = np.full(len(hurts), 1 / len(hurts))
    plain = [sum(any(trace[day + 1 : day + 1 + ahead]) for trace in hurts) / len(hurts) for day in range(30)]
    assert chance_within(array, weights, ahead) == pytest.approx(plain)


def test_odds_are_told_with_a_level():
    told = [one for one in found(NORTH, dt.date(2024, 11, 18)) if one.stage == "begins" and not one.spell]
    assert all(isinstance(one.event, ColdNight) or one.face != "cold night" for one in told)
    assert all(one.by >= dt.date(2024, 11, 18) for one in told)
