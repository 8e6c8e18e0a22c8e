"""Decandling against growers' dates, and what its rule must do in any climate."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.phenology.dating import SeasonDating, date_markers
from season_engine.report.contents import heading_of
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Size
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.opening import Opening, open_window
from season_engine.windows.why_today import HardlyEverWell
from tests.windows.decandling_dates import GROWERS, column_of, seasons_of
from tests.yards import KAGOSHIMA, NAGANO, NORTH, SOUTH, view, view_on

SIZES: tuple[Size, ...] = ("large", "medium", "small")
NORTHERN_DAYS, SOUTHERN_DAYS = 14, 21  # what growers' dates are good to


@cache
def dated(climate: str, species: str = "Pinus thunbergii") -> SeasonDating:
    return date_markers(load_catalogue().find(species), seasons_of(climate))


def usual(climate: str, name: str, job: str = "decandling", species: str = "Pinus thunbergii") -> Opening:
    windows = load_catalogue().find(species).windows
    window = next(one for one in windows if (one.job, one.name) == (job, name))
    return open_window(dated(climate, species), window.opens, window.closes)


def by_heat(climate: str, size: Size, species: str = "Pinus thunbergii") -> tuple[dt.date, dt.date]:
    opening = usual(climate, f"early summer, {size} trees", species=species)
    opens, closes = opening.opened_by(0.5), opening.closed_by(0.5)
    assert opens and closes
    return opens, closes


@pytest.mark.parametrize(("climate", "size"), GROWERS)
def test_each_size_opens_and_closes_near_growers_dates(climate: str, size: Size) -> None:
    """Common practice, written from memory, no source: see `decandling_dates`."""
    traces = seasons_of(climate)
    good_to = SOUTHERN_DAYS if climate == SOUTH.name else NORTHERN_DAYS
    for found, growers in zip(by_heat(climate, size), GROWERS[climate, size], strict=True):
        assert abs(traces.column(found) - column_of(traces, *growers)) <= good_to, f"{found}, {growers}"


# Middle dates on which two tables agree: common practice, written from memory, no source.
MIDDLES = {"Tokyo": ((6, 18), (6, 27), (7, 8)), "Nagano": ((6, 12), (6, 19), (6, 27))}


@pytest.mark.parametrize("climate", MIDDLES)
def test_the_middle_of_the_window_is_growers_own(climate: str) -> None:
    traces = seasons_of(climate)
    for size, growers in zip(SIZES, MIDDLES[climate], strict=True):
        opens, closes = map(traces.column, by_heat(climate, size))
        assert abs((opens + closes) / 2 - column_of(traces, *growers)) <= NORTHERN_DAYS, size


def test_cool_short_summers_are_worked_earlier_and_long_hot_ones_later() -> None:
    """Nagano mid June, Tokyo about 20 June to 5 July, Kagoshima in July (common practice, from memory)."""
    opens = [by_heat(climate, "medium")[0] for climate in ("Sapporo", "Nagano", "Tokyo", "Kagoshima")]
    assert [date.replace(year=2024) for date in opens] == sorted(date.replace(year=2024) for date in opens)
    closes = by_heat("Kagoshima", "medium")[1]
    assert dt.date(closes.year, 7, 1) < closes < dt.date(closes.year, 7, 31)


@pytest.mark.parametrize("climate", ["Sapporo", "Nagano", "Tokyo", "Kagoshima", "north", "south"])
@pytest.mark.parametrize("species", ["Pinus thunbergii", "Pinus densiflora"])
def test_large_trees_open_and_close_before_medium_and_those_before_small(climate: str, species: str) -> None:
    large, medium, small = (by_heat(climate, size, species) for size in SIZES)
    for end in (0, 1):
        assert large[end] < medium[end] < small[end]


@pytest.mark.parametrize("climate", ["Nagano", "Tokyo", "south"])
def test_red_pine_opens_later_than_black_and_closes_with_it(climate: str) -> None:
    for size in SIZES:
        (opens, closes), red = by_heat(climate, size), by_heat(climate, size, "Pinus densiflora")
        assert opens < red[0] < closes
        assert red[1] == closes


def test_a_hot_autumn_buys_no_time() -> None:
    """Every day from September on warmer by five degrees: the window stays within days of where it was."""
    traces = seasons_of("Tokyo")
    dating = dated("Tokyo")
    autumn = np.arange(traces.tmin_c.shape[-1]) >= traces.season_start + 335
    warm = np.where(autumn, 5.0, 0.0)
    hot = replace(traces, tmin_c=traces.tmin_c + warm, tmax_c=traces.tmax_c + warm)
    later = date_markers(load_catalogue().find("Pinus thunbergii"), hot)
    for name in ("heat_left_opens_medium", "heat_left_closes_medium"):
        moved = np.median(later.plain[name]) - np.median(dating.plain[name])
        assert 0 <= moved <= 5


def test_a_cool_yard_s_date_follows_its_spring_and_a_hot_one_s_the_calendar() -> None:
    """What moves the opening from year to year: how soon candles are grown, or next to nothing."""

    def spread_days(climate: str) -> float:
        plain = dated(climate).plain
        return float(np.std(np.maximum(plain["candles_grown_medium"], plain["heat_left_opens_medium"])))

    assert spread_days("Tokyo") < 2 < spread_days("Sapporo")


@pytest.mark.parametrize("climate", ["Tokyo", "Kagoshima", "south"])
def test_days_before_frost_are_not_counted_where_frost_is_late_or_rare(climate: str) -> None:
    """The count comes from places where frost ends the season; elsewhere it would land in autumn."""
    assert usual(climate, "summer, by days before frost").chance_given == 0


def test_a_southern_yard_is_told_why_it_has_no_count_before_frost() -> None:
    pine = load_catalogue().find("Pinus thunbergii")
    window = next(one for one in pine.windows if one.school == "by days before frost")
    told = assess(Prospect(view(SOUTH, dt.date(2024, 3, 1)), pine), window)
    assert told.verdict == "not-here"
    assert "later or rare" in window.note.template


def test_a_count_before_frost_that_leaves_too_little_warmth_is_said_to() -> None:
    """In the cool yard frost follows the short days, and the count opens when too few days are left."""
    pine = load_catalogue().find("Pinus thunbergii")
    window = next(one for one in pine.windows if one.school == "by days before frost")
    told = assess(Prospect(view(NORTH, dt.date(2024, 7, 1)), pine), window)
    assert (told.verdict, told.opens_too_late) == ("soon", True)
    assert told.seldom_well is not None and isinstance(told.today_why, HardlyEverWell)


@pytest.mark.parametrize("on", [dt.date(2025, 7, 21), dt.date(2025, 7, 28), dt.date(2025, 8, 11)])
def test_a_count_before_frost_that_comes_too_late_invites_nobody(on: dt.date) -> None:
    """In Nagano growers close by 4 July: common practice, no source."""
    pine = load_catalogue().find("Pinus thunbergii")
    window = next(one for one in pine.windows if one.school == "by days before frost")
    told = assess(Prospect(view(NAGANO, on), pine), window)
    assert told.verdict in ("soon", "open", "last-call"), "that is of the dates"
    assert (heading_of(told), told.today, told.best) == ("not-well", "no", None)


@given(on=st.dates(dt.date(2024, 9, 1), dt.date(2025, 8, 31)), site=st.sampled_from([NORTH, NAGANO, SOUTH]))
@settings(max_examples=9, deadline=None)
def test_no_window_is_offered_that_can_not_leave_warmth_enough(on: dt.date, site: Site) -> None:
    """Whatever the yard, the day and the window: what opens too late is not among what to do or get ready."""
    pine = load_catalogue().find("Pinus thunbergii")
    prospect = Prospect(view(site, on), pine)
    for told in (assess(prospect, window) for window in pine.windows if window.job == "decandling"):
        opens_late = told.opens_too_late and told.verdict in ("wait", "soon")
        assert not (opens_late and heading_of(told) in ("now", "soon"))


def test_monterey_pine_has_candle_work_of_its_own() -> None:
    """Common practice, from memory: 25 November to 15 January, a second cut in February, a tidy in May."""
    traces = seasons_of(SOUTH.name)
    growers = {
        **{("decandling", f"early summer, {size} trees"): ((11, 25), (1, 15)) for size in SIZES},
        ("candle-shortening", "late summer, second cut"): ((2, 1), (3, 7)),
    }
    for (job, name), dates in growers.items():
        opening = usual(SOUTH.name, name, job, "Pinus radiata")
        for found, day in zip((opening.opened_by(0.5), opening.closed_by(0.5)), dates, strict=True):
            assert found and abs(traces.column(found) - column_of(traces, *day)) <= SOUTHERN_DAYS
    tidied = usual(SOUTH.name, "autumn flush", "winter-tidy", "Pinus radiata")
    assert tidied.opened_by(0.5).month == 5


def test_where_summers_are_too_short_the_job_is_held_for_want_of_warmth() -> None:
    """A station's readings, thirteen degrees colder: candles are grown when too little warmth is left."""
    warm = view(KAGOSHIMA, dt.date(2024, 11, 1)).weather.series
    cold = type(warm)(warm.first_day, warm.tmin_c - 13, warm.tmax_c - 13)
    pine = load_catalogue().find("Pinus thunbergii")
    window = next(one for one in pine.windows if one.name == "early summer, medium trees")
    seen = view_on(KAGOSHIMA, cold, dt.date(2023, 5, 1))
    told = assess(Prospect(seen, pine), window)
    assert told.opens_too_late
