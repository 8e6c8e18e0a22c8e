"""How far buds are: the stages come in their order, each between the markers that bound it."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pytest

from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Prospect
from season_engine.windows.bud_stage import BURST_AFTER, bud_stage
from tests.yards import NAGANO, view

ORDER = ["resting", "swelling", "opening", "hardened"]
MAPLE, APRICOT, PINE, FIG = "Acer palmatum", "Prunus mume", "Pinus parviflora", "Ficus microcarpa"


def prospect(species: str, on: dt.date) -> Prospect:
    return Prospect(view(NAGANO, on), load_catalogue().find(species))


@pytest.mark.parametrize(
    ("on", "stage"),
    [
        (dt.date(2024, 1, 15), "resting"),
        (dt.date(2024, 4, 25), "opening"),
        (dt.date(2024, 8, 15), "hardened"),
        (dt.date(2024, 10, 10), "hardened"),  # in last season's leaf, though a new season counts its chill
        (dt.date(2024, 12, 20), "resting"),
    ],
)
def test_a_maples_year_in_the_mountains_of_honshu(on, stage):
    """Common practice, no source: bare by Christmas, unfolding in late April, hard by the end of July."""
    assert bud_stage(prospect(MAPLE, on)) == stage


def test_a_stage_changes_on_the_day_of_its_marker():
    on = dt.date(2024, 4, 1)
    then = prospect(MAPLE, on)
    swelling, opening = (then.marker_date(name, 0) for name in ("buds_swelling", "leaves_open"))
    assert swelling is not None and opening is not None and swelling < opening
    seen = [bud_stage(prospect(MAPLE, day)) for day in (dt.date(2024, 2, 1), opening + dt.timedelta(days=9))]
    assert seen == ["resting", "opening"]
    midway = prospect(MAPLE, swelling + (opening - swelling) / 2)
    assert bud_stage(midway) == "swelling"


@pytest.mark.parametrize("species", [MAPLE, APRICOT, PINE])
def test_from_midwinter_to_late_summer_no_stage_comes_back(species):
    days = [dt.date(2024, 1, 10) + dt.timedelta(days=21 * n) for n in range(12)]
    places = [ORDER.index(bud_stage(prospect(species, day)) or "") for day in days]
    assert places[0] == 0 and places[-1] == 3
    assert all(later >= earlier for earlier, later in pairwise(places))


def test_where_nothing_dates_the_opening_buds_that_swelled_four_weeks_ago_have_opened():
    on = dt.date(2024, 4, 1)
    swelling = prospect(PINE, on).marker_date("buds_swelling", 0)
    assert swelling is not None
    assert bud_stage(prospect(PINE, swelling + BURST_AFTER + dt.timedelta(days=10))) == "opening"


def test_a_tree_without_such_markers_has_no_stage():
    assert bud_stage(prospect(FIG, dt.date(2024, 4, 1))) is None
