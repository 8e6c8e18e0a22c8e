"""Warm hours of spring, on days so even that they can be counted by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from season_engine.markers.kinds.spring_warmth import SpringWarmth
from season_engine.markers.progress import NEVER
from tests.markers.kinds.made_days import scene


def marker(counted_as: str, need: float) -> SpringWarmth:
    return SpringWarmth.model_validate(
        {"kind": "spring_warmth", "label": "it grows", "after": "rest_over", "need": need, "from": "memory"}
        | {"unit": "days of full warmth", "counted_as": counted_as}
    )


def date(counted_as: str, need: float, daily_c: list[float], start: float = 0.0) -> float:
    return float(marker(counted_as, need).reached(scene(daily_c, {"rest_over": start})).dates.item())


@pytest.mark.parametrize(
    ("counted_as", "middle_c", "softening"), [("buds", 12.0, 0.025), ("shoots", 18.0, 0.015)]
)
def test_at_the_middle_an_hour_counts_half_and_little_chill_counts_as_45_portions(
    counted_as: str, middle_c: float, softening: float
) -> None:
    """Forty days bank less than 45 portions: the need is that for 45, and 9.9 half days are the tenth day."""
    need = 4.95 * math.exp(softening * 45)
    even = [middle_c] * 40
    assert date(counted_as, need, even) == 9
    assert date(counted_as, need, even, start=20) == 29


def test_what_never_warms_or_never_starts_is_not_reached() -> None:
    assert date("buds", 20, [-10.0] * 200) == NEVER
    assert date("shoots", 20, [25.0] * 60, start=NEVER) == NEVER


def test_more_chill_lessens_the_need() -> None:
    """A hundred days at 6 degC bank some 85 portions (28 hours each and a slow first; see tests of chill)."""
    winter, spring = [6.0] * 100, [30.0] * 60
    need = 10 * math.exp(0.025 * 45)
    assert date("buds", need, winter + spring, start=100) < 100 + 5
    assert date("buds", need, [20.0] * 100 + spring, start=100) == 100 + 10


def test_its_way_of_counting_is_told() -> None:
    assert marker("buds", 24.5).numbers == (
        "24.5 days of full warmth, before chill lessens it",
        "as buds count it",
    )


def test_with_less_chill_than_any_place_looked_at_dates_stray_further() -> None:
    grows = marker("buds", 20.0)
    for winter_days, straying in ((40, 1.5), (100, 1.0)):
        made = scene([6.0] * winter_days + [30.0] * 60, {"rest_over": float(winter_days)})
        dates = grows.reached(made).dates
        assert dates.item() > winter_days
        assert grows.straying(made, dates).item() == straying
    assert grows.straying(made, np.full_like(dates, NEVER)).item() == 1.0
