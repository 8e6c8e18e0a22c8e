from __future__ import annotations

import datetime as dt

import pytest

from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.explain import explain
from tests.yards import NAGANO, SOUTH, view


@pytest.mark.parametrize("site", [NAGANO, SOUTH], ids=lambda site: site.name)
def test_every_marker_behind_a_window_is_traced_to_its_number_and_file(site) -> None:
    species = load_catalogue().find("Pinus thunbergii")
    prospect = Prospect(view(site, dt.date(2021, 6, 20)), species)
    for window in species.windows:
        told = explain(prospect, window, 0)
        names = {step.reason.marker for step in told.steps}
        assert {*window.opens, *window.closes} <= names
        for step in told.steps:
            assert set(step.counted_from) <= names, "what it is counted from is told as well"
            own = step.file.endswith("groups/multi_flush_pine.toml")
            assert step.reason.provenance and (own or "/shared/" in step.file)
            assert step.numbers, step.reason.marker


def test_years_are_ordered_by_the_day_in_their_season() -> None:
    species = load_catalogue().find("Acer palmatum")
    prospect = Prospect(view(NAGANO, dt.date(2021, 6, 20)), species)
    told = explain(prospect, species.windows[0], 0)
    early = [year.opens.replace(year=2001) for year in told.early]
    late = [year.opens.replace(year=2001) for year in told.late]
    assert early == sorted(early) and late == sorted(late)
    assert early[-1] < late[0]
    for year in (*told.early, *told.late):
        assert year.opens.year == int(year.season[:4]) + 1, "spring of the season it is named by"


def test_a_years_own_date_is_what_that_years_weather_gave() -> None:
    """The same season assessed after the fact, at the middle of the rule's error."""
    species = load_catalogue().find("Acer palmatum")
    told = explain(Prospect(view(NAGANO, dt.date(2021, 6, 20)), species), species.windows[0], 0)
    for year in told.early:
        later = Prospect(view(NAGANO, dt.date(int(year.season[:4]) + 1, 9, 20)), species)
        assert abs((assess(later, species.windows[0]).opens.p50 - year.opens).days) <= 1
