"""When the weather is too poor to say anything, by the limits of the outside contract."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.errors import WeatherError
from season_engine.site import Season, Site
from season_engine.weather.fitness import complete_seasons, refuse_if_poor, season_coverage
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.shares import Shares, shares
from season_engine.weather.sources.origins import LoggerOrigin
from season_engine.words.weather_notices import notice_text

NORTH, SOUTH = Site("ridge", 51.5, 0.0), Site("bay", -38.0, 145.0)
DAY = dt.timedelta(days=1)


def record(first: dt.date, last: dt.date, *filled: tuple[dt.date, int]) -> Weather:
    """Weather from `first` to `last`, with so many filled days from each date."""
    count = (last - first).days + 1
    observed = np.ones(count, dtype=bool)
    for start, days in filled:
        observed[(start - first).days : (start - first).days + days] = False
    return Weather(DailySeries(first, np.zeros(count), np.ones(count)), observed, LoggerOrigin("ridge.csv"))


def refusal(weather: Weather, on: dt.date, site: Site = NORTH) -> str:
    with pytest.raises(WeatherError) as caught:
        refuse_if_poor(weather, site, on)
    assert caught.value.exit_code == 3
    assert caught.value.problem.startswith(f"{site.name}: ")
    return caught.value.problem


def test_coverage_counts_observed_days_only() -> None:
    weather = record(dt.date(2020, 1, 1), dt.date(2020, 1, 20), (dt.date(2020, 1, 3), 2))
    assert season_coverage(weather, dt.date(2020, 1, 1), dt.date(2020, 1, 4)) == 0.5
    assert season_coverage(weather, dt.date(2019, 12, 31), dt.date(2020, 1, 2)) == pytest.approx(2 / 3)
    assert season_coverage(weather, dt.date(2020, 1, 20), dt.date(2020, 1, 23)) == 0.25
    assert season_coverage(weather, dt.date(2019, 1, 1), dt.date(2019, 1, 23)) == 0.0
    assert season_coverage(weather, dt.date(2021, 1, 1), dt.date(2021, 1, 23)) == 0.0


@pytest.mark.parametrize(
    ("site", "first", "last", "years"),
    [
        (NORTH, dt.date(2018, 10, 1), dt.date(2020, 9, 30), [2018, 2019]),
        (NORTH, dt.date(2018, 10, 2), dt.date(2020, 9, 30), [2019]),
        (NORTH, dt.date(2018, 10, 1), dt.date(2020, 9, 29), [2018]),
        (SOUTH, dt.date(2018, 4, 1), dt.date(2020, 3, 31), [2018, 2019]),
        (SOUTH, dt.date(2018, 4, 2), dt.date(2020, 3, 30), []),
    ],
)
def test_a_complete_season_lies_whole_inside_the_record(
    site: Site, first: dt.date, last: dt.date, years: list[int]
) -> None:
    found = complete_seasons(record(first, last), site)
    assert found == tuple(Season(year, site.hemisphere) for year in years)


@pytest.mark.parametrize(("filled", "complete"), [(36, True), (37, False)])  # a tenth of 365 days is 36.5
def test_a_complete_season_has_a_tenth_filled_at_most(filled: int, complete: bool) -> None:
    weather = record(dt.date(2018, 10, 1), dt.date(2019, 9, 30), (dt.date(2019, 1, 5), filled))
    assert bool(complete_seasons(weather, NORTH)) == complete


def test_five_complete_seasons_are_enough_and_four_are_not() -> None:
    last = dt.date(2025, 3, 31)
    assert refuse_if_poor(record(dt.date(2019, 10, 1), last), NORTH, last) == ()
    text = refusal(record(dt.date(2019, 10, 2), last), last)
    assert "4 complete seasons" in text and "at least 5" in text and "ridge.csv" in text
    assert "1 complete season," in refusal(record(dt.date(2023, 10, 1), last), last)
    assert "no complete seasons" in refusal(record(dt.date(2024, 10, 1), last), last)


@pytest.mark.parametrize(("filled", "refused"), [(10, False), (11, True)])
def test_a_tenth_of_this_season_may_be_filled(filled: int, refused: bool) -> None:
    on = dt.date(2024, 10, 1) + 99 * DAY  # the hundredth day of the season
    weather = record(dt.date(2010, 1, 1), on, (dt.date(2024, 10, 20), filled))
    if refused:
        text = refusal(weather, on)
        assert "11 of this season's 100 days so far (11%) are missing" in text
        assert "2024-10-20 to 2024-10-30; with more than 10%" in text
    else:
        assert refuse_if_poor(weather, NORTH, on) == ()


def test_filled_days_of_last_season_do_not_count() -> None:
    on = dt.date(2024, 12, 31)
    weather = record(dt.date(2010, 1, 1), on, (dt.date(2024, 8, 1), 60))
    assert refuse_if_poor(weather, NORTH, on) == ()


def test_a_young_season_is_not_refused_for_a_day_or_two() -> None:
    on = dt.date(2024, 10, 10)
    assert refuse_if_poor(record(dt.date(2010, 1, 1), on, (dt.date(2024, 10, 3), 3)), NORTH, on) == ()
    assert "4 of this season's 10 days" in refusal(
        record(dt.date(2010, 1, 1), on, (dt.date(2024, 10, 3), 4)), on
    )


@pytest.mark.parametrize(
    ("age", "outcome"), [(0, "fine"), (7, "fine"), (8, "warned"), (60, "warned"), (61, "refused")]
)
@pytest.mark.parametrize("site", [NORTH, SOUTH], ids=["north", "south"])
def test_old_readings(site: Site, age: int, outcome: str) -> None:
    last = dt.date(2024, 9, 15)
    weather = record(dt.date(2010, 1, 1), last)
    if outcome == "refused":
        assert "15 September 2024, 61 days ago" in refusal(weather, last + age * DAY, site)
        return
    warnings = refuse_if_poor(weather, site, last + age * DAY)
    assert len(warnings) == (outcome == "warned")
    if warnings:
        assert f"15 September 2024, {age} days ago." in notice_text(warnings[0])


def with_second_source(weather: Weather, first: dt.date, days: int) -> Weather:
    """The same with so many days taken from a second source."""
    adjusted = np.zeros(len(weather.series), dtype=bool)
    start = (first - weather.series.first_day).days
    adjusted[start : start + days] = True
    return replace(weather, observed=weather.observed & ~adjusted, adjusted=adjusted)


def test_days_of_a_second_source_do_not_count_as_filled() -> None:
    on = dt.date(2024, 10, 1) + 99 * DAY
    weather = with_second_source(record(dt.date(2010, 1, 1), on), dt.date(2024, 10, 20), 50)
    assert refuse_if_poor(weather, NORTH, on) == ()
    young = with_second_source(record(dt.date(2010, 1, 1), on), dt.date(2010, 1, 1), 14 * 365)
    assert len(complete_seasons(young, NORTH)) == 14


def test_a_yard_that_fell_silent_is_told_while_the_second_source_goes_on() -> None:
    on = dt.date(2024, 9, 15)
    for silent, told in ((7, False), (8, True), (400, True)):
        weather = with_second_source(record(dt.date(2010, 1, 1), on), on - (silent - 1) * DAY, silent)
        warnings = refuse_if_poor(weather, NORTH, on)
        assert len(warnings) == told
        if told:
            assert f"{silent} days ago; the days since are the second source's." in notice_text(warnings[0])


def test_the_longest_of_many_holes_are_named() -> None:
    on = dt.date(2024, 10, 1) + 99 * DAY
    holes = [(dt.date(2024, 10, 2) + 10 * place * DAY, 2 + place % 3) for place in range(8)]
    text = refusal(record(dt.date(2010, 1, 1), on, *holes), on)
    assert "2024-10-12 to 2024-10-14, 2024-10-22 to 2024-10-25" in text
    assert "and 3 more times" in text


def test_shares_of_some_days() -> None:
    weather = with_second_source(
        record(dt.date(2020, 1, 1), dt.date(2020, 1, 20), (dt.date(2020, 1, 3), 2)), dt.date(2020, 1, 5), 4
    )
    assert shares(weather, dt.date(2020, 1, 1), dt.date(2020, 1, 8)) == Shares(8, 0.25, 0.5, 0.25)
    assert shares(weather, dt.date(2019, 1, 1), dt.date(2020, 1, 2)) == Shares(2, 1.0, 0.0, 0.0)
    assert shares(weather) == Shares(20, 0.7, 0.2, 0.1)
    assert (
        shares(weather, dt.date(2021, 1, 1))
        == shares(weather, None, dt.date(2019, 1, 1))
        == Shares(0, 0, 0, 0)
    )
