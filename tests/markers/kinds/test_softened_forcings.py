"""The mean of several softened forcings, on days so even that it can be dated by hand."""

from __future__ import annotations

import numpy as np
import pytest
from pydantic import ValidationError

from season_engine.markers.kinds.softened_forcings import SoftenedForcings
from season_engine.markers.progress import NEVER
from season_engine.markers.scene import Scene
from season_engine.markers.so_far import WarmthSoFar
from season_engine.measures.chill import chill_portions
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.phenology.dating import MEDIUM_POT
from season_engine.traces import CaseTraces

EARLY = {"from_day": 2, "steepness_per_c": 0.4, "middle_c": 16, "softening": 0, "need": 5}
SLOW = {"from_day": 0, "steepness_per_c": 0.2, "middle_c": 16, "softening": 0, "need": 10}


def marker(*rules: dict[str, float]) -> SoftenedForcings:
    head = {"kind": "softened_forcings", "label": "it flowers", "after": "start", "from": "memory"}
    return SoftenedForcings.model_validate({**head, "rules": rules})


def scene(daily_c: list[float], start: float = 0.0) -> Scene:
    """One trace of days without a night's fall."""
    level = np.array(daily_c)[None, None]
    traces = CaseTraces(
        level, level, np.ones((1, 1)), np.zeros(1, np.int64), np.full((1, len(daily_c)), 12.0)
    )
    return Scene(traces, {"start": np.array([[start]])}, pot=MEDIUM_POT)


def date(rules: list[dict[str, float]], daily_c: list[float], start: float = 0.0) -> float:
    found = marker(*rules).reached(scene(daily_c, start))
    return float(found.dates[0, 0])


def test_it_comes_once_the_mean_of_the_shares_is_whole() -> None:
    """At the middle an hour counts half: shares rise by 10 % a day from the third on, and by 5 %.

    Alone they are whole on the twelfth and the twentieth; on day d, from 0, together 10 (d - 1) + 5 (d + 1)
    per cent, and half of that passes 100 on day 14.
    """
    even = [16.0] * 40
    assert date([EARLY], even) == 11
    assert date([SLOW], even) == 19
    assert date([EARLY, SLOW], even) == date([SLOW, EARLY], even) == 14
    progress = marker(EARLY, SLOW).progress(scene(even))
    assert progress.values[0, 0, :4] == pytest.approx([2.5, 5.0, 12.5, 20.0])
    assert progress.need == 100


def test_it_is_counted_from_the_marker_where_that_is_later() -> None:
    even = [16.0] * 60
    assert date([EARLY, SLOW], even, start=5) > date([EARLY, SLOW], even)
    assert date([EARLY], even, start=20) == 29
    assert date([EARLY], even, start=NEVER) == NEVER


def test_what_never_gets_there_is_not_reached() -> None:
    assert date([EARLY, SLOW], [16.0] * 14) == NEVER
    assert date([EARLY, SLOW], [-20.0] * 300) == NEVER


def test_chill_makes_the_rest_worth_more() -> None:
    """Thirty days at 6 degC, then warmth: heat so far times e to the softening times the portions."""
    days = [6.0] * 30 + [16.0] * 40
    soft = {**SLOW, "softening": 0.02}
    hours = hourly_temperatures_c(days, days, np.full(70, 12.0))
    portions = chill_portions(hours.ravel()).reshape(hours.shape).sum(axis=1).cumsum()
    forcing = (1 / (1 + np.exp(-0.2 * (hours - 16.0)))).mean(axis=1)
    share = forcing.cumsum() / 10 * np.exp(0.02 * portions)
    found = marker(soft).progress(scene(days)).values[0, 0]
    assert found == pytest.approx(100 * share)
    assert portions[29] > 15
    assert date([soft], days) == np.flatnonzero(share >= 1)[0] < date([SLOW], days)


def test_a_rule_must_be_plausible_and_there_must_be_one() -> None:
    for rules in ([], [{**EARLY, "from_day": 365}], [{**EARLY, "softening": 0.3}], [{**EARLY, "extra": 1}]):
        with pytest.raises(ValidationError):
            marker(*rules)


def test_its_numbers_and_reason_are_told() -> None:
    two = marker(EARLY, SLOW)
    assert "5 days of full warmth" in two.figures["rules"] and "mean of 2 rules" in two.numbers[0]
    assert two.so_far(40.4, 100.0) == WarmthSoFar(40.4)
    assert two.so_far(100.0, 100.0) is None
