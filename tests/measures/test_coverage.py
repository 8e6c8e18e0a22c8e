from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.chill import chill_portions, chilling_hours
from season_engine.measures.coverage import Measured, daily, running_total, total

missing_or_not = st.one_of(st.just(np.nan), st.floats(-5, 5))
some_days = arrays(float, st.tuples(st.integers(1, 5), st.just(24)), elements=missing_or_not)
POLICIES = ("refuse", "leave_out", "scale_up")


@pytest.mark.parametrize("policy", POLICIES)
def test_a_whole_day_is_a_sum_with_full_coverage(policy):
    value, coverage = daily(chilling_hours(np.full((2, 3, 24), 5.0)), policy)
    assert value.shape == coverage.shape == (2, 3)
    assert (value == 24).all()
    assert (coverage == 1).all()


@pytest.mark.parametrize(("policy", "middle"), [("refuse", np.nan), ("leave_out", 18), ("scale_up", 24)])
def test_what_a_hole_in_the_middle_does_is_the_policys(policy, middle):
    hourly = np.full((3, 24), 5.0)
    hourly[1, 6:12] = np.nan
    value, coverage = daily(chilling_hours(hourly), policy)
    np.testing.assert_array_equal(value, [24, middle, 24])
    assert coverage.tolist() == [1, 0.75, 1]


def test_one_missing_hour_is_no_number_unless_asked_for():
    hourly = np.full((1, 24), 5.0)
    hourly[0, 11] = np.nan
    assert np.isnan(daily(chilling_hours(hourly)).value).all()
    assert daily(chilling_hours(hourly)).coverage == pytest.approx(23 / 24)


@pytest.mark.parametrize("policy", POLICIES)
def test_a_day_with_nothing_in_it_is_nan_not_nought(policy):
    hourly = np.full((3, 24), 5.0)
    hourly[1] = np.nan
    value, coverage = daily(chill_portions(hourly.ravel()).reshape(hourly.shape), policy)
    assert np.isnan(value).tolist() == [False, True, False]
    assert coverage.tolist() == [1, 0, 1]


@pytest.mark.parametrize(
    ("policy", "expected"),
    [
        ("refuse", [np.nan] * 4),
        ("leave_out", [np.nan, 2, 2, 6]),
        ("scale_up", [np.nan, 4, 6, 6 / (1.5 / 4)]),
    ],
)
def test_running_total_carries_the_coverage_along(policy, expected):
    measure = Measured(np.array([np.nan, 2.0, np.nan, 4.0]), np.array([0.0, 1.0, 0.0, 0.5]))
    value, coverage = running_total(measure, policy)
    np.testing.assert_allclose(value, expected)
    np.testing.assert_allclose(coverage, [0, 1 / 2, 1 / 3, 1.5 / 4])


def test_a_season_with_too_many_gaps_has_no_sum_whatever_the_policy():
    days = np.full((2, 100), 2.0)
    days[0, :10], days[1, :11] = np.nan, np.nan  # no more than a tenth may be missing
    value, coverage = total(days, "scale_up", least_coverage=0.9)
    np.testing.assert_allclose(value, [200, np.nan])
    np.testing.assert_allclose(coverage, [0.9, 0.89])
    assert np.isnan(total(days).value).all()


@given(some_days)
def test_the_total_is_the_last_of_the_running_totals(per_hour):
    for policy in POLICIES:
        days = daily(per_hour, policy)
        np.testing.assert_allclose(total(days, policy).value, running_total(days, policy).value[-1])


@given(some_days)
def test_last_running_total_is_the_sum_of_all_hours_present(per_hour):
    value, coverage = running_total(daily(per_hour, "leave_out"), "leave_out")
    present = np.isfinite(per_hour)
    assert np.isclose(coverage[-1], present.mean())
    if present.any():
        assert np.isclose(value[-1], per_hour[present].sum(), atol=1e-9)
    else:
        assert np.isnan(value[-1])


@given(some_days)
def test_refusing_gives_a_number_only_where_all_is_there(per_hour):
    value, coverage = daily(per_hour)
    np.testing.assert_array_equal(np.isfinite(value), np.isfinite(per_hour).all(axis=1))
    np.testing.assert_array_equal(np.isfinite(value), coverage == 1)


@given(some_days, st.integers(0, 23))
def test_taking_an_hour_away_never_raises_the_coverage(per_hour, hour):
    fewer = per_hour.copy()
    fewer[0, hour] = np.nan
    assert (daily(fewer).coverage <= daily(per_hour).coverage).all()
