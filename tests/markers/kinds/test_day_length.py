"""Days of so many hours, towards the tropics as well."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.markers.kinds.day_length import DayLengthBelow, ShortestDayNear
from tests.markers.scenes import past_of, scene_of


def short_day(hours: float) -> DayLengthBelow:
    return DayLengthBelow.model_validate(
        {"kind": "day_length_below", "label": "days are short", "after": "midsummer", "hours": hours}
        | {"from": "memory"}
    )


@pytest.mark.parametrize(("latitude", "month"), [(24.0, 12), (-24.0, 6)])
def test_where_the_day_never_gets_so_short_the_shortest_of_the_year_counts(latitude, month) -> None:
    """At 24 degrees 10.65 h by the CBM model (a pin of our own run), on the solstices' dates."""
    traces = past_of(latitude)
    found = short_day(10.5).reached(scene_of(traces))
    dates = {traces.date_of(column) for column in found.dates}
    assert len(dates) == 1
    (day,) = dates
    assert day.month == month and 20 <= day.day <= 23
    need = short_day(10.5).progress(scene_of(traces)).need
    assert need.item() == pytest.approx(10.65, abs=0.01)


def test_where_it_gets_so_short_the_hours_count_and_the_two_meet() -> None:
    """Nearer and nearer to the tropics the date runs towards the solstice, without a leap."""
    found = []
    for latitude in (51.5, 35.0, 30.0, 28.0, 27.0, 26.0):
        traces = past_of(latitude)
        columns = short_day(10.5).reached(scene_of(traces)).dates
        found.append(int(columns[0]))
        at, before = traces.day_length_h[found[-1]], traces.day_length_h[found[-1] - 1]
        if latitude > 27:
            assert at <= 10.5 < before
    assert found == sorted(found)
    assert found[-1] - found[-2] < 20


@pytest.mark.parametrize(("latitude", "weeks"), [(51.5, (1, 3)), (35.0, (2, 4)), (10.0, (4, 8))])
def test_near_the_shortest_day_is_the_longer_the_nearer_the_equator(latitude, weeks) -> None:
    """By the day's own length at the date found, and some weeks before the solstice on 21 December."""
    traces = past_of(latitude)
    marker = ShortestDayNear.model_validate(
        {"kind": "shortest_day_near", "label": "days are shortest", "after": "midsummer", "minutes": 15}
        | {"from": "memory"}
    )
    column = int(marker.reached(scene_of(traces)).dates[0])
    shortest = traces.day_length_h.min()
    assert traces.day_length_h[column] <= shortest + 0.25 < traces.day_length_h[column - 1]
    before = (dt.date(traces.date_of(column).year, 12, 21) - traces.date_of(column)).days
    assert weeks[0] * 7 <= before <= weeks[1] * 7
