from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.markers.progress import NEVER, Progress, since, still_to_come

DAILY = arrays(np.float64, (3, 20), elements=st.floats(0, 30, allow_subnormal=False))
STARTS = arrays(np.float64, 3, elements=st.sampled_from([0.0, 4.0, 19.0, NEVER]))


def test_the_first_day_at_or_after_the_start_counts() -> None:
    values = np.array([[5.0, 1.0, 2.0, 3.0, 9.0]])
    assert Progress(values, np.array(3.0), np.array([1.0])).dates() == [3]
    assert Progress(values, np.array(1.0), np.array([0.0]), falling=True).dates() == [1]


def test_a_need_never_met_is_never_and_not_a_number_of_days() -> None:
    assert Progress(np.ones((1, 5)), np.array(2.0), np.array([0.0])).dates() == [NEVER]
    assert Progress(np.ones((1, 5)), np.array(0.5), np.array([NEVER])).dates() == [NEVER]


@given(DAILY, STARTS)
def test_heat_so_far_and_heat_to_come_make_the_whole(daily: np.ndarray, until: np.ndarray) -> None:
    left = still_to_come(until, daily)
    for row in range(3):
        if np.isinf(until[row]):
            assert np.isinf(left[row]).all()
        else:
            stop = int(until[row])
            whole = daily[row, :stop].sum()
            gone = np.concatenate([[0.0], np.cumsum(daily[row])[:-1]])
            assert left[row, : stop + 1] == pytest.approx(whole - gone[: stop + 1], abs=1e-9)


@given(DAILY, STARTS)
def test_nothing_is_counted_before_the_start(daily: np.ndarray, start: np.ndarray) -> None:
    total = since(start, daily)
    for row in range(3):
        first = min(start[row], 20)
        assert (total[row, : int(first)] == 0).all()
        assert total[row, -1] == pytest.approx(daily[row, int(first) :].sum())


def test_what_is_kept_is_the_last_day_observed_not_the_days() -> None:
    progress = Progress(np.array([[1.0, 3.0, 5.0]]), np.array(3.0), np.array([0.0]))
    kept = progress.by(np.array(2))
    assert (kept.dates.tolist(), kept.have.tolist(), kept.need.tolist()) == ([1.0], [3.0], [3.0])
    assert not np.shares_memory(kept.have, progress.values)  # a view would keep the days
    assert np.isnan(progress.by(np.array(0)).have).all()


def test_each_case_is_kept_as_of_its_own_last_day() -> None:
    values = np.array([[[1.0, 3.0, 5.0]], [[1.0, 3.0, 5.0]]])
    kept = Progress(values, np.array(3.0), np.zeros((2, 1))).by(np.array([1, 3]))
    assert kept.have.tolist() == [[1.0], [5.0]]
