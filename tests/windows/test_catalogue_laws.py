"""What holds for every species of the catalogue, whoever wrote it.

Common practice, no source: deciduous trees are repotted from bud swell until leaves open (BBCH 01 to 09, over
by 11), and evergreens every year in yards whose winters never count as cold.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.phenology.dating import date_markers
from season_engine.site import Site
from season_engine.species.build import depends_on
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.species.schema import Window
from season_engine.weather.series import DailySeries
from season_engine.windows.opening import Opening, open_window
from tests.yards import NORTH, SOUTH, outlook, outlook_on

ALL = load_catalogue().species.values()
DECIDUOUS = [one for one in ALL if "leaves_fallen" in one.markers]
EVERGREEN = [one for one in ALL if "leaves_fallen" not in one.markers]
PAST_SPRING = ("after bloom", "autumn")  # the other schools and seasons of repotting
ON = {NORTH: dt.date(2024, 11, 1), SOUTH: dt.date(2024, 5, 1)}
MILD = Site("no winter to speak of", -27.5, 153.0, 20)


def repotting(species: Species) -> list[Window]:
    """Full repotting, outside the schools and seasons that are not of spring."""
    windows = (one for one in species.full_windows if one.job == "repotting")
    return [one for one in windows if one.name not in PAST_SPRING]


@pytest.fixture(scope="module")
def mild_year():
    """Invented weather without a single chill portion: 15 degC in midwinter, 25 in summer."""
    days = np.arange(12 * 365)
    mean_c = 20 + 5 * np.cos(2 * np.pi * (days - 15) / 365.25)
    series = DailySeries(dt.date(2012, 1, 1), mean_c - 1.5 + np.sin(days) / 2, mean_c + 3 + np.cos(days) / 2)
    return outlook_on(MILD, series, dt.date(2023, 6, 1)).past


@pytest.mark.parametrize("species", DECIDUOUS, ids=lambda one: one.name)
def test_deciduous_repotting_opens_before_the_tips_are_green_and_is_over_by_the_first_leaf(species) -> None:
    windows, stages = repotting(species), {name: one.bbch for name, one in species.markers.items()}
    assert windows
    for window in windows:
        opens = [stages[name] for name in window.opens if stages[name] is not None]
        assert all(stage < 9 or stage >= 60 for stage in opens), f"{window.name} opens too late"
        closes = [stages[name] for name in window.closes if stages[name] is not None]
        assert closes and all(stage <= 11 or stage == 61 for stage in closes), (
            f"{window.name} closes too late"
        )
    for site in (NORTH, SOUTH):
        dating = date_markers(species, outlook(site, ON[site]).past)
        leaves = np.median(dating.plain["leaves_open"])
        for window in windows:
            opening = open_window(dating, window.opens, window.closes)
            opens, closes = opening.opened_by(0.5), opening.closed_by(0.5)
            assert opens and closes and opens < closes
            assert opens < outlook(site, ON[site]).past.date_of(leaves)


def counted_from(species: Species, names: tuple[str, ...]) -> set[str]:
    """The markers of those names, and all that they are counted from."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        if (name := waiting.pop()) not in found:
            found.add(name)
            waiting += depends_on(species.markers[name])
    return found


@pytest.mark.parametrize("species", EVERGREEN, ids=lambda one: one.name)
def test_chill_never_blocks_an_evergreen(species, mild_year) -> None:
    for window in species.windows:
        kinds = {species.markers[name].kind for name in counted_from(species, window.opens)}
        assert "chill_met" not in kinds, f"{window.job}, {window.name}"
    assert not mild_year.chill_portions.any()
    dating = date_markers(species, mild_year)
    openings: list[Opening] = [
        open_window(dating, one.opens, one.closes) for one in species.full_windows if one.job == "repotting"
    ]
    assert any(opening.chance_given > 0.5 for opening in openings)
