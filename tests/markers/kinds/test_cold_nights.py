"""Nights of hard cold, counted by hand."""

from __future__ import annotations

from season_engine.markers.kinds.cold_nights import ColdNights
from season_engine.markers.progress import NEVER
from tests.markers.kinds.made_days import scene

HARD = ColdNights.model_validate(
    {"kind": "cold_nights", "label": "two hard nights", "after": "start", "level_c": -3, "nights": 2}
    | {"from": "memory"}
)
NIGHTS = [-5.0, 4.0, -3.0, 4.0, -2.9, -3.5, -8.0, 4.0]


def date(nights: list[float], start: float) -> float:
    return float(HARD.reached(scene(nights, {"start": start})).dates.item())


def test_the_second_night_ends_it_in_a_row_or_not() -> None:
    assert date(NIGHTS, 0) == 2
    assert date(NIGHTS, 1) == 5  # the first lies before the start, and -2.9 is not enough
    assert date(NIGHTS, 6) == NEVER


def test_where_no_night_is_so_cold_it_never_comes() -> None:
    assert date([4.0] * 8, 0) == NEVER
    assert date(NIGHTS, NEVER) == NEVER
