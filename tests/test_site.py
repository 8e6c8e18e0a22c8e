"""Days of the season in the calendar without 29 February."""

from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from season_engine.site import Season, Site

NORTH, SOUTH = Site("north", 50.0, 10.0), Site("south", -38.0, 145.0)
DAYS = st.dates(dt.date(1900, 1, 1), dt.date(2199, 12, 31))


def test_days_count_from_the_start_and_skip_29_february() -> None:
    season = Season(2023, "north")
    assert season.day_of(dt.date(2023, 10, 1)) == 0
    assert season.day_of(dt.date(2024, 1, 1)) == 92
    assert season.day_of(dt.date(2024, 2, 29)) == season.day_of(dt.date(2024, 2, 28)) == 150
    assert season.day_of(dt.date(2024, 3, 1)) == 151
    assert Season(2024, "south").day_of(dt.date(2025, 3, 31)) == 364


@given(DAYS, st.sampled_from([NORTH, SOUTH]))
def test_a_date_comes_back_from_its_day(on: dt.date, site: Site) -> None:
    season = site.season_on(on)
    assert 0 <= season.day_of(on) < 365
    leap_day = (on.month, on.day) == (2, 29)
    assert season.date_of(season.day_of(on)) == (on - dt.timedelta(days=1) if leap_day else on)
