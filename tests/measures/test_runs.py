from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.runs import longest_run, mean_of_last, run_lengths

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


@given(HOLDS)
def test_run_lengths_count_back_to_the_last_break(holds):
    expected, length = [], 0
    for one in holds:
        length = length + 1 if one else 0
        expected.append(length)
    assert run_lengths(holds).tolist() == expected


@given(DAILY, st.integers(1, 20))
def test_running_means_are_means(daily, days):
    means = mean_of_last(days, daily)
    assert np.isnan(means[:, : days - 1]).all()
    for day in range(days - 1, 20):
        assert means[:, day] == pytest.approx(daily[:, day - days + 1 : day + 1].mean(axis=1), abs=1e-9)
