from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.markers.sums import chill_so_far
from season_engine.phenology.dating import date_markers
from season_engine.species.catalogue import load_catalogue
from season_engine.species.schema import ColdHazard, HeatHazard, ShortSeason
from season_engine.traces import SeasonView
from season_engine.weather.checks import check_and_fill
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.hazards import best_week, hazard_if_done, weeks_ahead
from season_engine.windows.opening import open_window
from tests.yards import NAGANO, readings, view

ON = dt.date(2019, 4, 2)
PINE = load_catalogue().find("Pinus thunbergii")
DATING = date_markers(PINE, view(NAGANO, ON).season())


def frost(level_c: float, days: int = 42, name: str = "frost") -> ColdHazard:
    return ColdHazard.model_validate(
        {"name": name, "level_c": level_c, "days": days, "limit": 0.3, "from": "practice"}
    )


@pytest.mark.parametrize("level_c", [0.0, -2.0, -4.0])
def test_frost_odds_are_the_share_of_past_years_counted_by_hand(level_c: float) -> None:
    """On a real station: how many of the past years had such a night in the same six weeks.

    Counting years, with those without a frost in the denominator, is how the freeze normals of the National
    Climatic Data Center treat a year without freeze (read in a stored copy).
    """
    series = readings(NAGANO).cut(ON)
    tmin = {day.item(): low for day, low in zip(series.days, series.tmin_c, strict=True)}
    past = date_markers(PINE, view(NAGANO, ON).past)
    years = [int(label) + 1 for label in past.traces.labels]  # the spring of season 1977/78 is of 1978
    cold = 0
    for year in years:
        first = dt.date(year, ON.month, ON.day)
        nights = [tmin[first + dt.timedelta(days=n)] for n in range(1, 43)]
        cold += any(low <= level_c for low in nights)
    assert hazard_if_done(frost(level_c), past, ON).chance == pytest.approx(cold / len(years))


@settings(max_examples=15)
@given(st.floats(-6, 4), st.floats(0, 5))
def test_a_colder_bench_never_lowers_the_odds_of_frost(level_c: float, allowance_c: float) -> None:
    site = replace(NAGANO, bench_frost_allowance_c=allowance_c)
    colder = replace(DATING, traces=replace(DATING.traces, site=site))
    usual = hazard_if_done(frost(level_c), DATING, ON).chance
    assert hazard_if_done(frost(level_c), colder, ON).chance >= usual


def test_the_middle_of_a_pot_freezes_less_often_than_the_air() -> None:
    rule = frost(-2.0, name="root frost")
    assert hazard_if_done(rule, DATING, ON).chance <= hazard_if_done(frost(-2.0), DATING, ON).chance


def heat(level_c: float, run: int) -> HeatHazard:
    return HeatHazard.model_validate(
        {"name": "hot spell", "level_c": level_c, "days": 90, "run": run, "limit": 0.3, "from": "practice"}
    )


def test_three_hot_days_running_are_rarer_than_one() -> None:
    chances = [hazard_if_done(heat(33, run), DATING, dt.date(2019, 6, 1)).chance for run in (1, 2, 3)]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[2]


def test_heat_left_to_recover_runs_out_as_the_season_goes_on() -> None:
    rule = ShortSeason.model_validate(
        {
            "name": "short season",
            "until": "growth_ends",
            "need": 1150,
            "unit": "growing degree days above 5 degC capped at 30 degC",
            "limit": 0.5,
            "from": "practice",
        }
    )
    days = [dt.date(2019, month, 1) for month in (6, 7, 8, 9, 10)]
    chances = [hazard_if_done(rule, DATING, day).chance for day in days]
    assert chances == sorted(chances)
    assert (chances[0], chances[-1]) == (0, 1)


def test_the_weeks_ahead_weigh_frost_against_closing() -> None:
    window = PINE.windows[0]
    opening = open_window(DATING, window.opens, window.closes)
    ahead = weeks_ahead(window.hazard, DATING, opening, ON, sheltered=False)
    assert [week.date for week in ahead] == [ON + dt.timedelta(weeks=n) for n in range(5)]
    closed = [week.chance_closed for week in ahead]
    frosts = [week.hazards[0] for week in ahead]
    assert closed == sorted(closed)
    assert frosts == sorted(frosts, reverse=True)  # in spring each week is safer than the one before
    assert all(week.chance_good <= week.chance_open for week in ahead)
    covered = weeks_ahead(window.hazard, DATING, opening, ON, sheltered=True)
    assert all(under.chance_good >= out.chance_good for under, out in zip(covered, ahead, strict=True))
    best = best_week(ahead)
    assert best is not None
    assert next(w for w in ahead if w.date == best).chance_good >= max(w.chance_good for w in ahead) - 0.05


def warmed(degrees: float) -> SeasonView:
    series = readings(NAGANO).cut(ON)
    warmer = replace(series, tmin_c=series.tmin_c + degrees, tmax_c=series.tmax_c + degrees)
    return SeasonView(NAGANO, check_and_fill(warmer, source=GivenOrigin("test")), ON)


COOLING = ("mean_below", "first_frost", "last_hot_day")
SOFTENED = ("heat_softened_by_chill", "softened_forcing", "softened_forcings")


@settings(max_examples=3, deadline=None)
@given(st.floats(0.2, 1.5))
def test_warmth_brings_heat_driven_markers_forward_and_puts_cooling_ones_back(degrees: float) -> None:
    """Where chill softens a need, less chill may hold a bud back; then it has had less by that day."""
    now, warm = view(NAGANO, ON).past, warmed(degrees).past
    for species in load_catalogue().species.values():
        before, after = date_markers(species, now), date_markers(species, warm)
        for name, marker in species.markers.items():
            both = np.isfinite(after.plain[name]) & np.isfinite(before.plain[name])
            moved = after.plain[name][both] - before.plain[name][both]
            if marker.kind in ("heat_after", "mean_above", "hot_day_odds") and counted_from_a_day(
                species, name
            ):
                assert (moved <= 0).all(), (species.name, name)
            elif marker.kind in COOLING and counted_from_a_day(species, name):
                assert (moved >= 0).all(), (species.name, name)
            elif marker.kind in SOFTENED:
                chill = [chill_so_far(traces) for traces in (now, warm)]
                later = np.flatnonzero(after.plain[name] > before.plain[name])
                for row in later:
                    day = int(before.plain[name][row])
                    assert chill[1][row, day] < chill[0][row, day], (species.name, name)


def counted_from_a_day(species, name: str) -> bool:
    """Whether a marker's start is a date of the calendar, which warmth can't move."""
    return species.markers[species.markers[name].after].kind == "season_day"
