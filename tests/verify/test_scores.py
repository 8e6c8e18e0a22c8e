"""Scores against closed forms, published values and an independent library."""

from __future__ import annotations

from dataclasses import astuple
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.phenology.date_odds import DateOdds
from season_engine.verify.scores import SEASON_DAYS, crps, day_by, pit, score, scores, summary

DAYS = st.floats(0.0, 364.0).map(lambda day: round(day, 3))
WEIGHTS = st.floats(0.01, 1.0)


@st.composite
def forecasts(draw: st.DrawFn) -> DateOdds:
    """In no order; some never come, and some days have no weight."""
    days = np.array(draw(st.lists(DAYS, min_size=1, max_size=30)))
    weights = np.array(draw(st.lists(WEIGHTS, min_size=days.size, max_size=days.size)))
    missed = draw(st.sampled_from([0.0, 0.2, 0.7]))
    shares = np.concatenate([weights / weights.sum() * (1 - missed), [missed / 2, 0.0, missed / 2]])
    order = np.random.default_rng(draw(st.integers(0, 99))).permutation(shares.size)
    return DateOdds(np.append(days, [np.inf, 20.0, np.inf])[order], shares[order])


def certain(*days: float) -> DateOdds:
    return DateOdds(np.array(days), np.full(len(days), 1 / len(days)))


def normal(mean: float, sd: float, points: int = 4001) -> DateOdds:
    odds = (np.arange(points) + 0.5) / points
    return certain(*(NormalDist(mean, sd).inv_cdf(float(one)) for one in odds))


def pinball(quantile, odds, day: float):
    """What a quantile costs: `odds` a day where it is too early, the rest of one where it is too late."""
    return (day - quantile) * (odds - (day < quantile))


# CRPS of a normal distribution at y: 0.23370 for N(0, 1) at 0, 0.60244 at 1; 3.42639 for mean 0, sd 3 at 5
# (scoring rule packages' documentation, read in a secondary copy); moved to day 180, which changes nothing.
@pytest.mark.parametrize(
    ("sd", "day", "published"), [(1.0, 0.0, 0.23370), (1.0, 1.0, 0.60244), (3.0, 5.0, 3.42639)]
)
def test_crps_of_normal_distributions(sd: float, day: float, published: float) -> None:
    assert crps(normal(180.0, sd), 180.0 + day) == pytest.approx(published, abs=5e-5)


def test_the_pinball_loss_is_the_published_one() -> None:
    # Value of a public documentation of scoring rules (read in a secondary copy): 3.6.
    assert pinball(10.0, 0.9, 14.0) == pytest.approx(3.6)
    assert pinball(14.0, 0.9, 10.0) == pytest.approx(0.4)


def test_a_single_day_scores_its_absolute_error() -> None:
    assert crps(certain(100.0), 107.0) == pytest.approx(7.0)


def test_two_days_by_hand() -> None:
    """F is 0.5 on [100, 110): integral of (F - H)^2 is 5 * 0.25 + 5 * 0.25 for day 105."""
    assert crps(certain(100.0, 110.0), 105.0) == pytest.approx(2.5)


@given(forecasts(), DAYS)
def test_crps_is_half_the_squared_energy_distance(forecast: DateOdds, day: float) -> None:
    """An independent library's distance between the forecast and the day, squared and halved."""
    from scipy.stats import energy_distance  # a second to import: only where it is needed

    distance = energy_distance(np.minimum(forecast.days, SEASON_DAYS), [day], forecast.weights, [1.0])
    assert crps(forecast, day) == pytest.approx(distance**2 / 2, abs=1e-6)


@settings(max_examples=20)
@given(forecasts(), DAYS)
def test_crps_is_twice_the_integral_of_the_pinball_loss(forecast: DateOdds, day: float) -> None:
    odds = (np.arange(4000) + 0.5) / 4000
    losses = pinball(day_by(forecast, odds), odds, day)
    assert crps(forecast, day) == pytest.approx(2 * losses.mean(), abs=0.1)


@given(forecasts(), st.integers(0, 10**6))
def test_nobody_gains_by_another_forecast_than_their_belief(belief: DateOdds, seed: int) -> None:
    """Proper: days drawn from the belief score best, on average, with the belief itself."""
    other = DateOdds(belief.days, np.random.default_rng(seed).dirichlet(np.ones(belief.days.size)))
    days = np.minimum(belief.days, SEASON_DAYS)

    def expected(forecast: DateOdds) -> float:
        many = DateOdds(*(np.broadcast_to(one, (days.size, days.size)) for one in vars(forecast).values()))
        return float(belief.weights @ crps(many, days))

    assert expected(belief) <= expected(other) + 1e-9


@given(st.lists(st.tuples(forecasts(), DAYS), min_size=1, max_size=4))
def test_many_are_scored_each_as_it_is_alone(cases: list[tuple[DateOdds, float]]) -> None:
    """Whatever pads the shorter ones, as long as it has no weight."""
    longest = max(one.days.size for one, _ in cases)
    padded = [[np.resize(part, longest) for part in (one.days, one.weights)] for one, _ in cases]
    for (_, weights), (one, _) in zip(padded, cases, strict=True):
        weights[one.days.size :] = 0.0
    together = DateOdds(*(np.array(part) for part in zip(*padded, strict=True)))
    found = scores(together, np.array([day for _, day in cases]))
    for many, (one, day) in zip(found, cases, strict=True):
        alone = score(one, day)
        assert astuple(many) == pytest.approx(astuple(alone), abs=1e-9)
        assert many.p10 <= many.p25 <= many.p50 <= many.p75 <= many.p90


def test_not_reached_counts_as_the_day_after_the_season() -> None:
    never = certain(np.inf)
    assert crps(never, 180.0) == pytest.approx(SEASON_DAYS - 180.0)
    assert day_by(never, 0.5) == SEASON_DAYS
    assert pit(never, 180.0) == 0
    scored = score(certain(100.0, np.inf), 100.0)
    assert (scored.p50, scored.p90) == (100.0, SEASON_DAYS)
    assert scored.not_reached == 0.5


def test_pit_is_even_where_the_day_comes_from_the_forecast() -> None:
    forecast = normal(150.0, 7.0, 501)
    days = np.random.default_rng(1).choice(forecast.days, 4000, p=forecast.weights)
    counts, _ = np.histogram([pit(forecast, day) for day in days], bins=10, range=(0, 1))
    assert np.abs(counts / 4000 - 0.1).max() < 0.02


def test_means_over_cases() -> None:
    forecast = certain(*np.arange(100.0, 111.0))
    days = [100.0, 101.0, 109.0, 112.0]
    found = summary([score(forecast, day) for day in days], days)
    assert (found.n, found.mae, found.bias) == (4, 5.0, -0.5)
    assert found.rmse == pytest.approx(np.sqrt((25 + 16 + 16 + 49) / 4))
    assert (found.coverage80, found.coverage50) == (0.5, 0.0)
    assert (found.width80, found.width50) == (8.0, 6.0)
    assert found.crps == pytest.approx(np.mean([crps(forecast, day) for day in days]))
