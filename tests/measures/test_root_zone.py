from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.root_zone import lagged, pot_lag_h

DAILY = arrays(np.float64, (3, 20), elements=st.floats(0, 30, allow_subnormal=False))
STEPS_AN_HOUR = 100


def test_the_root_zone_closes_two_thirds_of_a_step_in_one_lag():
    """Definition of a first-order lag: 1 - 1/e of a step after one time constant."""
    air = np.zeros((1, 30))
    air[:, 10:] = 10.0
    assert lagged(air, 4.0)[0, 13] == pytest.approx(10 * (1 - np.exp(-1)))


# The answer of a first-order lag to a daily wave, 1 / sqrt(1 + (w tau)^2) high and atan(w tau) / w late:
# textbook formulas, worked out to the digits shown.
@pytest.mark.parametrize(
    ("lag_h", "height", "late_h"),
    [(1, 0.967, 0.98), (2, 0.886, 1.84), (3, 0.786, 2.54), (4, 0.691, 3.09), (6, 0.537, 3.83)],
)
def test_a_daily_wave_comes_lower_and_later(lag_h, height, late_h):
    hours = np.arange(0, 10 * 24, 1 / STEPS_AN_HOUR)
    root = lagged(np.sin(2 * np.pi * hours / 24), lag_h * STEPS_AN_HOUR)
    last_day = root[-24 * STEPS_AN_HOUR :]
    assert last_day.max() == pytest.approx(height, abs=1e-3)
    assert last_day.argmax() / STEPS_AN_HOUR - 6 == pytest.approx(late_h, abs=0.02)


@given(DAILY, st.floats(0.5, 10))
def test_the_root_zone_stays_within_the_air_it_has_seen(daily, lag_days):
    root = lagged(daily, lag_days)
    assert (root <= np.maximum.accumulate(daily, axis=1) + 1e-9).all()
    assert (root >= np.minimum.accumulate(daily, axis=1) - 1e-9).all()


def test_a_missing_day_is_not_papered_over():
    assert np.isnan(lagged([1.0, np.nan, 3.0], 2.0)).tolist() == [False, True, True]


def test_a_larger_pot_follows_more_slowly():
    lags = pot_lag_h([0.5, 1, 5, 20, 100])
    assert (np.diff(lags) > 0).all()
    # Between the surface's share, which grows with the side, and the mix's, which grows with its square.
    assert 8 ** (1 / 3) < pot_lag_h(80) / pot_lag_h(10) < 8 ** (2 / 3)


def test_the_lag_of_a_cube_of_ten_litres_by_hand():
    side = 0.01 ** (1 / 3)
    seconds = 2.0e6 * side / (6 * 15.0) + 2.0e6 * side**2 / (3 * np.pi**2 * 0.6)
    assert pot_lag_h(10) == pytest.approx(seconds / 3600)
    assert 2 < pot_lag_h(10) < 4  # as the docstring says; from memory, like the numbers in it
