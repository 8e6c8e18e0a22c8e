"""Heat is a hazard that shade answers, and closes no work (common practice, no source)."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.phenology.dating import date_markers
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.opening import open_window
from tests.yards import NORTH, SOUTH, view

ROOT_WORK = ("repotting", "sectional-repotting")
ROOT_WINDOWS = [
    (kind, one) for kind in load_catalogue().species.values() for one in kind.windows if one.job in ROOT_WORK
]
CUTS = (
    "structural-pruning",
    "after-bloom-pruning",
    "decandling",
    "candle-shortening",
    "cut-back",
    "defoliation",
)
ON = {NORTH: dt.date(2024, 11, 1), SOUTH: dt.date(2024, 5, 1)}


def test_no_hot_day_closes_work_on_roots() -> None:
    assert len(ROOT_WINDOWS) > 500
    for kind, window in ROOT_WINDOWS:
        ahead, kinds = [*window.closes], set[str]()
        while ahead:
            marker = kind.markers[ahead.pop()]
            kinds.add(marker.kind)
            ahead += marker.depends_on
        assert not kinds & {"hot_day_odds", "last_hot_day"}, (kind.name, window.job, window.name)


def test_hot_air_holds_work_on_roots_for_days_and_a_hot_pot_asks_for_shade_for_weeks() -> None:
    told = set()
    for kind, window in ROOT_WINDOWS:
        by_name = {rule.name: rule for rule in window.hazard}
        if "heat" in by_name:
            days = (by_name["heat"].days, by_name["root heat"].days)
            assert days == (3, 42), (kind.name, window.job, window.name)
            told.add(window.job)
    assert told == set(ROOT_WORK)


def test_big_cuts_wait_for_three_days_of_35_degc_in_the_next_seven_or_for_one_of_38() -> None:
    told = {
        (rule.level_c, rule.run, rule.days)
        for kind in load_catalogue().species.values()
        for one in kind.windows
        for rule in one.hazard
        if one.job in CUTS and rule.name in ("heat", "hot spell")
    }
    assert told == {(35, 3, 7), (38, 1, 7)}


def test_shade_goes_up_on_the_same_day_whenever_it_is_asked() -> None:
    kind = load_catalogue().find("Acer palmatum")
    (shade,) = (one for one in kind.windows if one.job == "shade")
    found = set()
    for week in range(16):
        season = view(SOUTH, dt.date(2024, 8, 12) + dt.timedelta(weeks=week)).season()
        found.add(open_window(date_markers(kind, season), shade.opens, shade.closes).opened_by(0.5))
    assert len(found) == 1


@pytest.mark.parametrize("site", [NORTH, SOUTH], ids=lambda site: site.name)
def test_late_summer_opens_once_the_hottest_month_is_past(site) -> None:
    kind = load_catalogue().find("Juniperus chinensis")
    past = view(site, ON[site]).past
    one = next(each for each in kind.windows if each.name == "late summer")
    opened = past.column(open_window(date_markers(kind, past), one.opens, one.closes).opened_by(0.5))
    mean_c = past.mean_c.mean(axis=0)
    months = np.convolve(mean_c[past.season_start : past.season_start + 400], np.ones(30) / 30, "valid")
    assert opened > past.season_start + int(months.argmax()) + 15
