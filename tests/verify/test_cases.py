"""The rows of a backtest: the CRPS skill and its range over years."""

from __future__ import annotations

import numpy as np
import pytest

from season_engine.site import Season
from season_engine.verify.cases import Case, rows
from season_engine.verify.scores import Scored
from season_engine.verify.station_files import Event

EVENT = Event("Arbor ficta", 61)


def case(year: int, crps: float, calendar: float, site: str = "one") -> Case:
    scored = Scored(0.0, 0.0, 0.0, 0.0, 0.0, crps, 0.5, 0.0)
    return Case(EVENT, site, Season(year, "north"), 2.0, 100, 0.0, scored, 0.0, calendar)


def test_years_that_are_alike_leave_no_range() -> None:
    (row,) = rows(case(year, 2.0, 4.0) for year in range(2006, 2016))
    assert row.crps_skill == pytest.approx(0.5)
    assert row.crps_skill_between == pytest.approx((0.5, 0.5))


def test_one_year_has_no_range() -> None:
    (row,) = rows([case(2006, 2.0, 4.0), case(2006, 1.0, 4.0, "two")])
    assert row.crps_skill_between is None


def test_the_range_is_that_of_whole_years_and_not_of_cases() -> None:
    """Ten sites of the same weather tell no more than one: the standard error of a ratio of means."""
    random = np.random.default_rng(3)
    forecast, calendar = random.gamma(4.0, 0.5, 30), random.gamma(4.0, 1.0, 30)
    alone = [case(1990 + year, *pair) for year, pair in enumerate(zip(forecast, calendar, strict=True))]
    many = [
        case(1990 + year, *pair, f"{site}")
        for year, pair in enumerate(zip(forecast, calendar, strict=True))
        for site in range(10)
    ]
    ranges = [row.crps_skill_between for row in (*rows(alone), *rows(many))]
    assert ranges[0] == pytest.approx(ranges[1])
    ratio = forecast.mean() / calendar.mean()
    error = np.std(forecast - ratio * calendar, ddof=1) / (calendar.mean() * 30**0.5)
    low, high = ranges[0]
    assert high - low == pytest.approx(2 * 1.96 * error, rel=0.15)
    assert low < 1 - ratio < high
