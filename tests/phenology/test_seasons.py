"""Records as whole past seasons, a case each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np
import pytest

from season_engine.phenology.seasons import DAYS, past_seasons
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Site
from season_engine.weather.series import DailySeries

NORTH, SOUTH = Site("north", 45.0, 10.0), Site("south", -45.0, 170.0)
FIRST, LAST = dt.date(1999, 1, 1), dt.date(2004, 12, 31)


def numbered(
    site: Site, first: dt.date = FIRST, last: dt.date = LAST, observed: Mapping[int, float] | None = None
) -> StationRecord:
    """Temperatures that tell their date: Tmin is the day of the month, Tmax the month and a hundred."""
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
    tmin = np.array([float(day.day) for day in days])
    tmax = np.array([100.0 + day.month for day in days])
    return StationRecord(site, DailySeries(first, tmin, tmax), observed or {})


@pytest.mark.parametrize(("site", "month", "last_month"), [(NORTH, 10, 9), (SOUTH, 4, 3)])
def test_a_season_runs_from_its_first_day_to_the_eve_of_the_next(
    site: Site, month: int, last_month: int
) -> None:
    """The one still running when the record ends is none."""
    found = past_seasons([numbered(site)])
    tmin, tmax = found.traces.tmin_c[:, 0], found.traces.tmax_c[:, 0]
    assert found.years.tolist() == [1999, 2000, 2001, 2002, 2003]
    assert tmax.shape == (5, DAYS) and found.traces.season_start == 0
    assert (tmin[:, 0] == 1).all() and (tmax[:, 0] == 100 + month).all()
    assert (tmin[:, -1] == (30 if last_month == 9 else 31)).all()
    assert (tmax[:, -1] == 100 + last_month).all()
    assert (found.traces.observed == DAYS).all() and (found.traces.weights == 1).all()


@pytest.mark.parametrize("site", [NORTH, SOUTH], ids=lambda site: site.name)
def test_the_leap_day_is_in_no_season(site: Site) -> None:
    found = past_seasons([numbered(site)]).traces
    leap = (found.tmin_c == 29) & (found.tmax_c == 102)
    assert not leap.any()
    place = site.season_on(dt.date(2001, 3, 1)).day_of(dt.date(2001, 3, 1))
    first_of_march = (found.tmin_c == 1) & (found.tmax_c == 103)
    assert (np.argwhere(first_of_march)[:, 2] == place).all()
    assert first_of_march.sum() == 5


@pytest.mark.parametrize(
    ("first", "last", "years"),
    [
        (dt.date(1999, 10, 2), dt.date(2002, 9, 30), [2000, 2001]),
        (dt.date(1999, 10, 1), dt.date(2002, 9, 29), [1999, 2000]),
        (dt.date(1999, 10, 1), dt.date(2000, 9, 29), []),
    ],
)
def test_a_season_that_the_record_begins_or_ends_within_is_left_out(
    first: dt.date, last: dt.date, years: list[int]
) -> None:
    assert past_seasons([numbered(NORTH, first, last)]).years.tolist() == years


def test_dates_stand_in_their_season_and_their_station() -> None:
    records = [
        numbered(NORTH, observed={2001: 180.0, 1950: 1.0}),
        numbered(SOUTH, observed={2003: 150.0, 1999: 160.0}),
    ]
    whole = past_seasons(records)
    assert whole.station.tolist() == [0] * 5 + [1] * 5
    assert whole.observed[[2, 5, 9]].tolist() == [180, 160, 150]
    assert np.isnan(whole.observed).sum() == 7
    noted = past_seasons(records, noted=True)
    assert (noted.station.tolist(), noted.years.tolist()) == ([0, 1, 1], [2001, 1999, 2003])
    assert noted.observed.tolist() == [180, 160, 150]
    assert np.array_equal(noted.traces.tmin_c, whole.traces.tmin_c[[2, 5, 9]])


def test_of_too_many_every_so_manieth_is_taken() -> None:
    records = [numbered(NORTH), numbered(SOUTH)]
    assert past_seasons(records, most=10).years.size == 10
    assert past_seasons(records, most=9).years.tolist() == [1999, 2001, 2003, 2000, 2002]
    assert past_seasons(records, most=3).years.size == 3
