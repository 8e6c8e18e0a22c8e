"""A forecast night or day that would hurt a tree just worked is named, and decides today's advice."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from season_engine.phenology.dating import MEDIUM_POT
from season_engine.pot import Pot
from season_engine.species.catalogue import load_catalogue
from season_engine.species.schema import ColdHazard, HeatHazard
from season_engine.traces import TraceSet
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.forecast_hazards import forecast_event
from season_engine.windows.hazard import ForecastExtreme, Hazard
from season_engine.windows.hazards import event_of
from season_engine.words.one_hazard import forecast_text
from season_engine.words.today import today_why
from tests.traces.test_forecast import ON, forecast, view

PINE = load_catalogue().find("Pinus thunbergii")
FROST = ColdHazard.model_validate(
    {"name": "frost", "level_c": -2, "days": 42, "limit": 0.3, "from": "practice"}
)


def season(tmin_c: float, tmax_c: float = 12.0) -> TraceSet:
    return view(ON, forecast(ON, tmin_c=tmin_c, tmax_c=tmax_c)).season()


def said(rule: ColdHazard | HeatHazard, forecast: ForecastExtreme | None) -> str:
    return forecast_text(Hazard(rule.name, 0.5, rule.days, event_of(rule), forecast))


def test_the_coldest_forecast_night_past_the_level_is_named() -> None:
    days = list(forecast(ON, tmin_c=1.0).days)
    days[3] = replace(days[3], tmin_c=-3.2)
    days[5] = replace(days[5], tmin_c=-2.4)
    traces = view(ON, replace(forecast(ON), days=tuple(days))).season()
    found = forecast_event(FROST, traces, ON, MEDIUM_POT)
    assert found == ForecastExtreme(dt.date(2019, 4, 6), -3.2)
    assert said(FROST, found) == "frost of about -3 °C is forecast for the night to Sat 6 Apr"


def test_a_milder_forecast_names_nothing() -> None:
    assert forecast_event(FROST, season(-1.9), ON, MEDIUM_POT) is None
    assert forecast_event(FROST, view(ON, None).season(), ON, MEDIUM_POT) is None


def test_a_bench_colder_than_the_air_counts_and_the_aftercare_ends() -> None:
    traces = season(-1.0)
    bench = replace(traces, site=replace(traces.site, bench_frost_allowance_c=2.0))
    assert forecast_event(FROST, bench, ON, MEDIUM_POT) == ForecastExtreme(ON + dt.timedelta(days=1), -3.0)
    late = forecast_event(FROST, season(-5.0), ON - dt.timedelta(days=42), MEDIUM_POT)
    assert late is None


def test_the_middle_of_a_pot_is_told_as_the_forecast_makes_it() -> None:
    """A small pot has the air's frost to a degree, a large one a third of it."""
    roots = FROST.model_copy(update={"name": "root frost"})
    small, large = (forecast_event(roots, season(-9.0, 2.0), ON, Pot.of_tree(one)) for one in (1, 60))
    assert small.value_c < -7 and large.value_c > small.value_c + 3
    assert forecast_event(roots, season(-3.0, 9.0), ON, Pot.of_tree(60)) is None
    assert said(roots, small).startswith(
        "by the forecast the pot's middle falls to about -8 °C in the night to "
    )


def test_roots_in_the_sun_are_told_as_the_forecast_makes_them() -> None:
    rule = HeatHazard.model_validate(
        {"name": "root heat", "level_c": 38, "days": 42, "limit": 0.3, "from": "memory"}
    )
    hot = season(18.0, 36.0)
    dark = replace(hot, site=replace(hot.site, sun_on_pots="sun", pot_colour="dark"))
    shade = replace(hot, site=replace(hot.site, sun_on_pots="shade"))
    found = forecast_event(rule, dark, ON, Pot.of_tree(3))
    assert found.value_c > 42 and forecast_event(rule, shade, ON, Pot.of_tree(3)) is None
    assert said(rule, found).startswith("by the forecast the pot's middle reaches about 4")


def test_heat_is_named_and_a_hot_spell_only_as_long_as_it_must_be() -> None:
    rule = HeatHazard.model_validate(
        {"name": "hot spell", "level_c": 33, "days": 42, "run": 3, "limit": 0.3, "from": "practice"}
    )
    hot = forecast_event(rule, season(15.0, 34.4), ON, MEDIUM_POT)
    assert said(rule, hot) == "about 34 °C is forecast for Wed 3 Apr"
    short = forecast(ON, days=2, tmin_c=15.0, tmax_c=34.0)
    assert forecast_event(rule, view(ON, short).season(), ON, MEDIUM_POT) is None


@pytest.mark.parametrize(("tmin_c", "advice"), [(-9.0, "hold"), (7.0, "do")])
def test_a_hard_frost_forecast_turns_do_into_hold(tmin_c: float, advice: str) -> None:
    """On a real station, on a day in spring when the window stands open either way."""
    on = dt.date(2019, 4, 14)
    window = next(one for one in PINE.windows if one.job == "repotting")
    found = assess(Prospect(view(on, forecast(on, tmin_c=tmin_c, tmax_c=12)), PINE), window, shelter=False)
    assert found.verdict in ("open", "last-call")
    assert found.today == advice
    frost = next(hazard for hazard in found.hazards if hazard.name == "root frost")
    assert (frost.forecast_on is not None) == (advice == "hold")
    assert ("in the night to" in today_why(found.today_why)) == (advice == "hold")
