"""The line on water: only where it changes what a waterer does, and never from a guess."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from season_engine.documents.model import json_values
from season_engine.documents.report import report_document
from season_engine.pages.page import report_page
from season_engine.prints.report import report_text
from season_engine.weather.series import DailySeries
from season_engine.weather.water_demand import WaterDemand, water_demand
from season_engine.words.water import water_sentence
from tests.factories import AS_OF, RIDGE, a_report, a_site_report, days, some_weather


def demand(last: float, before: float) -> WaterDemand:
    return WaterDemand(AS_OF - days(1), last, before)


def weather(tmin, tmax, covered=None):
    count = len(tmin)
    whole = np.ones(count, dtype=bool) if covered is None else covered
    series = DailySeries(AS_OF - days(count), np.asarray(tmin, float), np.asarray(tmax, float))
    return replace(some_weather(), series=series, observed=whole)


@pytest.mark.parametrize(
    ("last", "before", "said"),
    [
        (24, 20, "about a fifth more water than the week before: 24 mm"),
        (15, 20, "about a quarter less water than the week before: 15 mm"),
        (30, 20, "about half more water"),
        (40, 20, "about twice as much water as the week before"),
        (60, 20, "about three times as much water as"),
        (2, 20, "far less water than"),
    ],
)
def test_a_change_is_said_in_shares(last, before, said) -> None:
    assert said in water_sentence(demand(last, before))


@pytest.mark.parametrize(("last", "before"), [(22, 20), (18, 20), (4, 2), (0, 0), (10, 0)])
def test_a_small_change_or_a_dry_winter_gets_no_line(last, before) -> None:
    assert water_sentence(demand(last, before)) == ""


def test_two_weeks_are_summed_apart() -> None:
    found = water_demand(RIDGE, weather([5.0] * 14, [15.0] * 7 + [20.0] * 7), AS_OF)
    assert found is not None
    assert found.through == AS_OF - days(1)
    assert found.last_week_mm > found.week_before_mm > 0


def test_one_filled_day_or_an_old_reading_says_nothing() -> None:
    gap = np.ones(14, dtype=bool)
    assert water_demand(RIDGE, weather([5.0] * 14, [15.0] * 14, gap), AS_OF) is not None
    gap[3] = False
    assert water_demand(RIDGE, weather([5.0] * 14, [15.0] * 14, gap), AS_OF) is None
    assert water_demand(RIDGE, weather([5.0] * 14, [15.0] * 14), AS_OF + days(7)) is None
    assert water_demand(RIDGE, weather([5.0] * 13, [15.0] * 13), AS_OF) is None


def test_it_is_printed_in_text_page_and_json() -> None:
    report = a_report(sites=(a_site_report(water=demand(24, 20)),))
    assert "a fifth more water" in " ".join(report_text(report).split())
    assert "a fifth more water" in report_page(report)
    assert json_values(report_document(report))["sites"][0]["water_demand"] == {
        "through": "2026-08-10",
        "last_week_mm": 24,
        "week_before_mm": 20,
    }
    assert "Water\n" not in report_text(a_report())
