from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.measures.chill import chill_portions
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.traces import CHILL_DAYS, is_leap_day
from tests.yards import NAGANO, readings, view_on


@pytest.mark.parametrize("shift", [-1, 0, 1])
@pytest.mark.parametrize("on", [dt.date(2020, 10, 1), dt.date(2020, 10, 3), dt.date(2020, 4, 13)])
def test_chill_of_days_observed_counted_once_is_that_of_each_trace_alone(on: dt.date, shift: int) -> None:
    traces = view_on(NAGANO, readings(NAGANO), on).season(shift)
    first = traces.season_start
    all_hours = hourly_temperatures_c(traces.tmin_c, traces.tmax_c, traces.day_length_h)
    hours = all_hours[:, first : first + CHILL_DAYS]
    for place in {0, len(traces) - 1}:
        alone = chill_portions(hours[place].ravel()).reshape(-1, 24).sum(axis=1)
        assert np.array_equal(traces.chill_portions[place, first : first + CHILL_DAYS], alone)
    assert not traces.chill_portions[:, :first].any()


def test_leap_days_are_those_the_calendar_writes_so() -> None:
    days = np.arange("1895-01-01", "2105-01-01", dtype="datetime64[D]")
    assert np.array_equal(is_leap_day(days), [str(day).endswith("-02-29") for day in days])
