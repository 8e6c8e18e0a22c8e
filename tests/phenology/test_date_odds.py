"""Odds of a date: quantiles, what is left once a day is past, and many cases at once."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.phenology.date_odds import DateOdds

ODDS = (0.1, 0.2, 0.5, 0.8, 0.9)


def made(seed: int, cases: int = 4) -> DateOdds:
    """Whole days of which some never come, with weights of which some are none."""
    random = np.random.default_rng(seed)
    days = random.integers(0, 90, (cases, 40)).astype(float)
    days[random.random(days.shape) < 0.1] = np.inf
    weights = random.random(days.shape) * (random.random(days.shape) < 0.8) + 1e-6
    return DateOdds(days, weights / weights.sum(axis=-1, keepdims=True))


def test_quantiles_agree_with_numpy_where_nothing_is_missing() -> None:
    """Against numpy's inverted_cdf, the same definition of a quantile."""
    days = np.random.default_rng(3).integers(0, 90, 630).astype(float)
    odds = DateOdds(days, np.full(days.shape, 1 / days.size))
    for share in ODDS:
        assert odds.by(share) == np.quantile(days, share, method="inverted_cdf")


@given(st.integers(0, 10**6))
def test_many_cases_are_each_as_it_is_alone(seed: int) -> None:
    together = made(seed)
    found = together.by(ODDS)
    for case in range(4):
        alone = DateOdds(together.days[case], together.weights[case])
        assert np.array_equal(found[:, case], alone.by(ODDS))
        assert np.array_equal([alone.by(share) for share in ODDS], alone.by(ODDS))
        assert together.not_reached[case] == pytest.approx(alone.not_reached)


@given(st.integers(0, 10**6), st.integers(-1, 95))
def test_what_is_left_after_a_day_is_the_rest_in_its_proportions(seed: int, day: int) -> None:
    odds = made(seed)
    left = odds.after(day)
    assert left.weights.sum(axis=-1) == pytest.approx(1.0)
    assert not left.weights[left.days <= day].any()
    for case in range(4):
        rest = odds.days[case] > day
        share = odds.weights[case, rest].sum()
        assert left.weights[case, rest] == pytest.approx(odds.weights[case, rest] / share)


def test_where_no_chance_is_left_it_is_the_next_day() -> None:
    odds = DateOdds(np.array([10.0, 12.0]), np.array([0.5, 0.5])).after(20)
    assert odds.by(0.1) == odds.by(0.9) == 21


def test_what_never_has_such_odds_is_never() -> None:
    odds = DateOdds(np.array([10.0, np.inf]), np.array([0.5, 0.5]))
    assert odds.by(0.5) == 10
    assert np.isposinf(odds.by(0.6))


def test_without_any_chance_it_never_comes() -> None:
    none = DateOdds(np.empty((2, 0)), np.empty((2, 0)))
    assert np.isposinf(none.by(0.5)).all() and none.by(ODDS).shape == (5, 2)
