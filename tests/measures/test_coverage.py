from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.chill import chill_portions, chilling_hours
from season_engine.measures.coverage import daily

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
