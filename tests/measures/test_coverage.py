from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.chill import chill_portions, chilling_hours
from season_engine.measures.coverage import DailyMeasure, daily, running_total

missing_or_not = st.one_of(st.just(np.nan), st.floats(-5, 5))
some_days = arrays(float, st.tuples(st.integers(1, 5), st.just(24)), elements=missing_or_not)


def test_a_whole_day_is_a_sum_with_full_coverage():
    value, coverage = daily(chilling_hours(np.full((2, 3, 24), 5.0)))
    assert value.shape == coverage.shape == (2, 3)
    assert (value == 24).all()
    assert (coverage == 1).all()


def test_a_hole_in_the_middle_lowers_the_coverage():
    hourly = np.full((3, 24), 5.0)
    hourly[1, 6:12] = np.nan
    value, coverage = daily(chilling_hours(hourly))
    assert value.tolist() == [24, 18, 24]
    assert coverage.tolist() == [1, 0.75, 1]


def test_a_day_with_nothing_in_it_is_nan_not_nought():
    hourly = np.full((3, 24), 5.0)
    hourly[1] = np.nan
    value, coverage = daily(chill_portions(hourly.ravel()).reshape(hourly.shape))
    assert np.isnan(value).tolist() == [False, True, False]
    assert coverage.tolist() == [1, 0, 1]


def test_running_total_carries_the_coverage_along():
    measure = DailyMeasure(np.array([np.nan, 2.0, np.nan, 4.0]), np.array([0.0, 1.0, 0.0, 0.5]))
    value, coverage = running_total(measure)
    np.testing.assert_array_equal(value, [np.nan, 2, 2, 6])
    np.testing.assert_allclose(coverage, [0, 1 / 2, 1 / 3, 1.5 / 4])


@given(some_days)
def test_last_running_total_is_the_sum_of_all_hours_present(per_hour):
    value, coverage = running_total(daily(per_hour))
    present = np.isfinite(per_hour)
    assert np.isclose(coverage[-1], present.mean())
    if present.any():
        assert np.isclose(value[-1], per_hour[present].sum(), atol=1e-9)
    else:
        assert np.isnan(value[-1])


@given(some_days, st.integers(0, 23))
def test_taking_an_hour_away_never_raises_the_coverage(per_hour, hour):
    fewer = per_hour.copy()
    fewer[0, hour] = np.nan
    assert (daily(fewer).coverage <= daily(per_hour).coverage).all()
