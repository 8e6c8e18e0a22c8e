from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.runs import end_of_growth, first_run, longest_run, mean_of_last, run_lengths

DAILY = arrays(np.float64, (3, 20), elements=st.floats(0, 30, allow_subnormal=False))
HOLDS = arrays(bool, st.integers(0, 40))


def test_runs_by_hand():
    holds = np.array([[1, 1, 0, 1, 1, 1, 0], [0, 0, 0, 0, 0, 0, 0], [1, 1, 1, 1, 1, 1, 1]], bool)
    assert run_lengths(holds).tolist() == [
        [1, 2, 0, 1, 2, 3, 0],
        [0, 0, 0, 0, 0, 0, 0],
        [1, 2, 3, 4, 5, 6, 7],
    ]
    assert longest_run(holds).tolist() == [3, 0, 7]
    assert first_run(holds, 3).tolist() == [3, np.inf, 0]
    assert first_run(holds, 2, from_day=[1, 0, 4]).tolist() == [3, np.inf, 4]


@given(HOLDS, st.integers(1, 6), st.integers(0, 10))
def test_the_first_run_is_the_one_found_by_looking(holds, length, from_day):
    places = [day for day in range(from_day, holds.size - length + 1) if all(holds[day : day + length])]
    assert first_run(holds, length, from_day) == (places[0] if places else np.inf)


@given(HOLDS)
def test_run_lengths_count_back_to_the_last_break(holds):
    expected, length = [], 0
    for one in holds:
        length = length + 1 if one else 0
        expected.append(length)
    assert run_lengths(holds).tolist() == expected


def test_growth_ends_with_the_first_cold_spell_not_with_a_cold_day():
    daily = np.full(100, 15.0)
    daily[40] = daily[50:55] = 2.0  # a day, and five: too short
    daily[70:] = 4.9
    assert end_of_growth(daily) == 70
    assert end_of_growth(daily, run_days=5) == 50
    assert end_of_growth(daily, run_days=5, from_day=52) == 70
    assert end_of_growth(np.full(100, 5.0)) == np.inf


def test_a_missing_day_breaks_a_cold_spell():
    daily = np.full(20, 3.0)
    daily[4] = np.nan
    assert end_of_growth(daily) == 5


@given(DAILY, st.integers(1, 20))
def test_running_means_are_means(daily, days):
    means = mean_of_last(days, daily)
    assert np.isnan(means[:, : days - 1]).all()
    for day in range(days - 1, 20):
        assert means[:, day] == pytest.approx(daily[:, day - days + 1 : day + 1].mean(axis=1), abs=1e-9)
