"""Claims of forecasts: shares that came true, intervals by years, what a perfect forecaster misses."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.benchmarks.told_claims import Claims, missed_if_true

YEARS, SITES = 40, 12
YEAR = np.repeat(np.arange(YEARS), SITES)


def claims(said: float, came: np.ndarray, *, held: float | None = None) -> Claims:
    """One a station and year; `held` is what the odds have of it, ends and all."""
    chance = np.full(YEAR.size, said)
    upto = chance if held is None else np.full(YEAR.size, held)
    return Claims(chance, came * 1.0, np.zeros(YEAR.size), upto, YEAR, np.arange(YEAR.size))


def drawn(chance: float, seed: int) -> np.ndarray:
    return np.random.default_rng(seed).random(YEAR.size) < chance


def test_the_interval_of_independent_claims_is_the_binomial_one() -> None:
    found = claims(0.8, drawn(0.8, 1))
    low, high = found.between
    error = (found.share * (1 - found.share) / YEAR.size) ** 0.5
    assert high - low == pytest.approx(2 * NormalDist().inv_cdf(0.975) * error, rel=0.2)
    assert low < found.share < high


def test_stations_that_go_alike_leave_an_interval_as_wide_as_that_of_one() -> None:
    by_year = np.random.default_rng(2).random(YEARS) < 0.8
    low, high = claims(0.8, np.repeat(by_year, SITES)).between
    one = Claims(*(column[::SITES] for column in vars(claims(0.8, np.repeat(by_year, SITES))).values()))
    assert (low, high) == pytest.approx(one.between)


def test_what_is_far_from_its_claim_misses() -> None:
    assert claims(0.5, drawn(0.8, 3)).misses
    assert not claims(0.8, drawn(0.8, 3)).misses


@pytest.mark.parametrize("shared", [False, True])
def test_a_perfect_forecaster_misses_some_five_in_a_hundred(shared: bool) -> None:
    """A little more, as forty years are few for an interval made of them."""
    rate = claims(0.8, drawn(0.8, 4)).missed_if_true(shared)
    assert rate[0] == rate[1]
    assert 0.02 <= rate[0] <= 0.13


def test_ends_that_are_whole_days_make_ranges_miss_what_they_say_and_not_their_odds() -> None:
    wide = claims(0.5, drawn(0.65, 5), held=0.65)
    says, odds = missed_if_true([wide] * 3, shared_years=False)
    assert wide.misses and not wide.misses_its_odds
    assert says == pytest.approx(3, abs=0.1) and odds < 0.5


@given(st.floats(0.0, 1.0), st.integers(0, 9))
def test_shares_lie_in_their_intervals_within_0_and_1(chance: float, seed: int) -> None:
    found = claims(chance, drawn(chance, seed))
    low, high = found.between
    assert 0.0 <= low <= found.share <= high <= 1.0
    assert Claims.joined([found, found]).share == pytest.approx(found.share)
    assert len(found.where(found.came == 1)) == found.came.sum()
