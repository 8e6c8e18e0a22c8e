"""The error of a rule, and what it may not move."""

from __future__ import annotations

import numpy as np
from pydantic import TypeAdapter

from season_engine.markers.base import Marker
from season_engine.markers.registry import AnyMarker

ERROR_DAYS = np.array([-8.0, 0.0, 8.0])
OTHER = {"leaves": np.array([[95.0, 100.0, 105.0]])}


def marker(**table: object) -> Marker:
    read = TypeAdapter(AnyMarker).validate_python
    found: Marker = read({"label": "made up", "from": "memory", **table})
    return found


def test_no_draw_of_the_error_is_before_the_same_draw_of_what_it_is_counted_from() -> None:
    cold = marker(kind="mean_below", after="leaves", level_c=5, days=3)
    assert cold.spread(np.array([108.0]), OTHER, ERROR_DAYS).tolist() == [[100, 108, 116]]
    assert cold.spread(np.array([101.0]), OTHER, ERROR_DAYS).tolist() == [[95, 101, 105]], "cold by then"
    assert (cold.depends_on, cold.never_before) == (("leaves",), "leaves")


def test_what_is_counted_from_nothing_has_its_own_error_alone() -> None:
    day = marker(kind="season_day", day=90)
    assert day.spread(np.array([101.0]), OTHER, ERROR_DAYS).tolist() == [[93, 101, 109]]
    assert (day.depends_on, day.never_before) == ((), None)


def test_days_are_counted_in_each_draw_and_may_lie_before() -> None:
    for days, before in ((20, "leaves"), (0, "leaves"), (-20, None)):
        later = marker(kind="days_after", after="leaves", days=days)
        first = 95 + days - 8 if days else 95  # days on don't come before what they are counted from
        expected = [[first, 100 + days, 105 + days + 8]]
        assert later.spread(np.array([0.0]), OTHER, ERROR_DAYS).tolist() == expected
        assert (later.depends_on, later.never_before) == (("leaves",), before)


def test_heat_counted_back_rests_on_both_its_ends_and_follows_the_first() -> None:
    left = marker(
        kind="heat_left_below", after="leaves", until="frost", need=9, unit="growing degree days above 5 degC"
    )
    assert (left.depends_on, left.never_before) == (("leaves", "frost"), "leaves")
