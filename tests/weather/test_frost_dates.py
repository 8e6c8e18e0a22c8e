from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.documents.weather import weather_document
from season_engine.site import Site
from season_engine.weather.frost_dates import frost_season, winters
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.words.frost_dates import frost_sentence
from season_engine.words.speech import speaking
from tests.measures.test_table import station

NORTH, SOUTH = Site("north", 36.66, 138.19), Site("south", -36.66, 138.19)
ON = dt.date(2020, 5, 1)


def weather_of(tmin: dict[dt.date, float], first: dt.date, last: dt.date, filled: tuple = ()) -> Weather:
    """Ten degrees at night, but for the nights given."""
    days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
    tmin_c = np.array([tmin.get(day, 10.0) for day in days])
    observed = np.array([day not in filled for day in days])
    return Weather(DailySeries(first, tmin_c, tmin_c + 8), observed, GivenOrigin("made"))


def frosts(first_years: range, autumn: tuple[int, int], spring: tuple[int, int]) -> dict[dt.date, float]:
    """A frost each winter on a day of autumn, in the year it begins, and on one of spring, in the next."""
    return {dt.date(y, *autumn): -1.0 for y in first_years} | {
        dt.date(y + 1, *spring): -1.0 for y in first_years
    }


def test_frosts_on_the_same_days_each_winter_are_their_own_dates() -> None:
    made = weather_of(frosts(range(2000, 2020), (11, 3), (4, 20)), dt.date(2000, 1, 1), dt.date(2020, 4, 30))
    found = frost_season(NORTH, made, ON)
    assert found is not None
    assert (found.first.winters, found.first.share_with_frost) == (19, 1.0)  # the running one isn't whole
    assert {found.first.p10, found.first.p50, found.first.p90} == {dt.date(2019, 11, 3)}
    assert {found.last.p10, found.last.p50, found.last.p90} == {dt.date(2020, 4, 20)}
    assert frost_sentence(found) == (
        "Frost (0 °C or colder at the sensor) in 19 of 19 winters; the last of a winter by 20 Apr in half of "
        "them, after 20 Apr in one of ten; the first by 3 Nov in half of them, before 3 Nov in one of ten."
    )
    with speaking("en", "degF"):
        assert "(32 °F or colder" in frost_sentence(found)


def test_south_of_the_equator_a_winter_lies_within_one_year() -> None:
    cold = {dt.date(y, *day): -1.0 for y in range(2000, 2020) for day in ((5, 3), (9, 20))}
    found = frost_season(SOUTH, weather_of(cold, dt.date(2000, 1, 1), dt.date(2020, 4, 30)), ON)
    assert found is not None
    assert (found.first.p50, found.last.p50) == (dt.date(2020, 5, 3), dt.date(2020, 9, 20))


def test_where_most_winters_have_none_only_the_rare_frost_has_a_date() -> None:
    cold = frosts(range(2000, 2020, 4), (12, 10), (2, 1))
    found = frost_season(NORTH, weather_of(cold, dt.date(2000, 7, 1), dt.date(2020, 7, 30)), ON)
    assert found is not None and found.first.share_with_frost == 0.25
    assert (found.first.p10, found.first.p50) == (dt.date(2019, 12, 10), None)
    assert (found.last.p10, found.last.p50, found.last.p90) == (None, None, dt.date(2020, 2, 1))
    assert "in 5 of 20 winters; the last of a winter after 1 Feb in one of ten; the first before 10 Dec" in (
        frost_sentence(found)
    )


def test_no_frost_at_all_is_said_so() -> None:
    found = frost_season(NORTH, weather_of({}, dt.date(2000, 7, 1), dt.date(2020, 7, 30)), ON)
    assert found is not None
    assert frost_sentence(found) == "No frost (0 °C or colder at the sensor) in 20 winters."


@pytest.mark.parametrize(("last_year", "known"), [(2009, False), (2010, True)])
def test_ten_winters_are_wanted(last_year: int, known: bool) -> None:
    made = weather_of({}, dt.date(2000, 7, 1), dt.date(last_year, 7, 30))
    assert (frost_season(NORTH, made, dt.date(last_year, 7, 30)) is not None) is known
    (told,) = weather_document([(NORTH, made)], dt.date(last_year, 7, 30)).sites
    assert (told.frost_dates is not None) is known


def test_days_that_were_filled_make_no_frost_and_a_long_gap_voids_a_winter() -> None:
    """Ten missing days before the frost: as in `tests/measures/test_frost.py`, source there."""
    cold = frosts(range(2000, 2020), (11, 3), (4, 20))
    gap = tuple(dt.date(2005, 10, 20) + dt.timedelta(days=n) for n in range(15))
    found = frost_season(NORTH, weather_of(cold, dt.date(2000, 7, 1), dt.date(2020, 7, 30), gap), ON)
    assert found is not None and (found.first.winters, found.last.winters) == (19, 20)


@pytest.mark.parametrize(
    "first", [dt.date(2000, 2, 28), dt.date(2000, 2, 29), dt.date(2000, 7, 24), dt.date(2000, 7, 25)]
)
def test_rows_begin_in_high_summer_wherever_the_record_does(first: dt.date) -> None:
    rows = winters(
        NORTH, weather_of({dt.date(y, 7, 24): -9.0 for y in range(2000, 2005)}, first, dt.date(2004, 7, 24))
    )
    assert (rows[:, 0] == -9).all() and (rows[:, 1:] == 10).all()
    assert len(rows) == (4 if first <= dt.date(2000, 7, 24) else 3)
    assert winters(NORTH, weather_of({}, first, first)).shape == (0, 365)


def test_a_real_station_has_its_frosts_where_they_were() -> None:
    """Nagano: as many winters after the late date and before the early one as there should be."""
    days, tmin, tmax, observed = station("nagano", 1976, 2019)
    weather = Weather(DailySeries(days[0], tmin, tmax), observed, GivenOrigin("station"))
    found = frost_season(NORTH, weather, dt.date(2019, 12, 31))
    assert found is not None and found.first.winters >= 42
    cold = [day for day, low in zip(days, tmin, strict=True) if low <= 0]
    springs = [max(day for day in cold if day.year == year and day.month < 7) for year in range(1977, 2020)]
    late = found.last.p90
    assert late is not None
    after = sum((day.month, day.day) > (late.month, late.day) for day in springs)
    assert 1 <= after <= 9  # of 43: a tenth, give or take two and a half standard errors
