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
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.species.schema import Window
from season_engine.weather.series import DailySeries
from season_engine.windows.calendar_ends import of_calendar
from season_engine.windows.opening import Opening, open_window
from tests.yards import KAGOSHIMA, NAGANO, NORTH, SOUTH, view, view_on

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
    return view_on(MILD, series, dt.date(2023, 6, 1)).past


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
        dating = date_markers(species, view(site, ON[site]).past)
        leaves = np.median(dating.plain["leaves_open"])
        for window in windows:
            opening = open_window(dating, window.opens, window.closes)
            opens, closes = opening.opened_by(0.5), opening.closed_by(0.5)
            assert opens and closes and opens < closes
            assert opens < view(site, ON[site]).past.date_of(leaves)


def counted_from(species: Species, names: tuple[str, ...]) -> set[str]:
    """The markers of those names, and all that they are counted from."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        if (name := waiting.pop()) not in found:
            found.add(name)
            waiting += species.markers[name].depends_on
    return found


def waited_for(species: Species, names: tuple[str, ...]) -> set[str]:
    """The same, but for what is only one way among several."""
    found = counted_from(species, names)
    for name in [one for one in found if species.markers[one].kind == "first_of"]:
        found -= set(species.markers[name].depends_on)
    return found


@pytest.mark.parametrize("species", EVERGREEN, ids=lambda one: one.name)
def test_chill_never_blocks_an_evergreen(species, mild_year) -> None:
    for window in species.windows:
        kinds = {species.markers[name].kind for name in waited_for(species, window.opens)}
        assert "chill_met" not in kinds, f"{window.job}, {window.name}"
    assert not mild_year.chill_portions.any()
    dating = date_markers(species, mild_year)
    openings: list[Opening] = [
        open_window(dating, one.opens, one.closes) for one in species.full_windows if one.job == "repotting"
    ]
    assert any(opening.chance_given > 0.5 for opening in openings)


@pytest.fixture(scope="module")
def no_winter():
    """Invented weather of the equator: 26 degC all the year round, with a little to and fro."""
    days = np.arange(12 * 365)
    series = DailySeries(dt.date(2012, 1, 1), 22 + np.sin(days) / 2, 30 + np.cos(days) / 2)
    return view_on(Site("no winter", 0.5, 32.5, 20), series, dt.date(2023, 6, 1)).past


@pytest.mark.parametrize("species", ALL, ids=lambda one: one.name)
def test_what_cannot_be_repotted_for_want_of_a_winter_is_given_no_care_either(species, no_winter) -> None:
    """A tree of temperate habit isn't kept where it never rests (common practice, no source)."""
    dating = date_markers(species, no_winter)
    given = {one for one in species.windows if open_window(dating, one.opens, one.closes).chance_given >= 0.5}
    if not any(one.job == "repotting" for one in given):
        assert not given
    else:
        assert "cool_season" not in species.markers, "temperate, and given where there is no winter"


SPRAYED = [one for one in ALL if "dormant-spray" in one.jobs]
MOVED = range(1, 70)  # by BBCH code, from buds that swell to petals that fall


@pytest.mark.parametrize("species", SPRAYED, ids=lambda one: one.name)
@pytest.mark.parametrize("site", [NORTH, SOUTH], ids=["north", "south"])
def test_nothing_is_sprayed_dormant_once_a_bud_has_moved(species, site) -> None:
    """Common practice, no source: closed buds only."""
    traces = view(site, ON[site]).past
    dating = date_markers(species, traces)
    stages = [
        dating.dates[name]
        for name, one in species.markers.items()
        if one.bbch is not None and one.bbch in MOVED
    ]
    window = next(one for one in species.windows if one.job == "dormant-spray")
    opening = open_window(dating, window.opens, window.closes)
    given = np.isfinite(opening.opens)
    assert not stages or (opening.closes <= np.min(stages, axis=0))[given].all()


STAND_IN_SUN = ("Pinus thunbergii", "Pinus mugo", "Juniperus chinensis", "Olea europaea", "Portulacaria afra")
SCORCH = ("Acer palmatum", "Fagus sylvatica", "Carpinus betulus", "Rhododendron indicum", "Larix decidua")


def test_shade_in_summer_is_for_leaves_that_scorch_and_for_the_rest_after_a_repotting_only() -> None:
    """Common practice, no source: from 28 to 30 degC, for thin leaves and trees just repotted."""
    catalogue = load_catalogue()
    assert all("shade" not in catalogue.find(name).jobs for name in STAND_IN_SUN)
    assert all("shade" in catalogue.find(name).jobs for name in (*SCORCH, "Tsuga heterophylla"))
    for species in ALL:
        for window in species.windows:
            if window.job == "repotting":
                assert any("sun" in text.template for text in window.aftercare), (species.name, window.name)


@pytest.mark.parametrize("site", [NORTH, SOUTH, NAGANO, KAGOSHIMA], ids=lambda site: site.name)
def test_shade_lasts_through_the_height_of_summer_and_ends_before_autumn_is_far_on(site) -> None:
    """Sense, not skill: in place by three weeks past midsummer's day, down between August and mid-October."""
    on = ON.get(site, dt.date(2024, 11, 1))
    traces = view(site, on).past
    species = load_catalogue().find("Acer palmatum")
    window = next(one for one in species.windows if one.job == "shade")
    opening = open_window(date_markers(species, traces), window.opens, window.closes)
    opens, closes = (traces.column(day) - traces.season_start for day in dates_of(opening))
    assert opens < 274 + 21 and 274 + 45 < closes < 365 + 15


def dates_of(opening: Opening) -> tuple[dt.date, dt.date]:
    opens, closes = opening.opened_by(0.5), opening.closed_by(0.5)
    assert opens and closes
    return opens, closes


@pytest.mark.parametrize("latitude", [24.0, -24.0])
def test_pines_are_decandled_in_a_yard_near_the_tropic(latitude: float) -> None:
    """Invented weather as such lowlands have it, 15 degC in midwinter and 28 in summer, from memory.

    The day is never so short there as growth is taken to end with, so the shortest one takes its place.
    """
    days, sign = np.arange(12 * 365), np.sign(latitude)
    mean_c = 21.5 - sign * 6.5 * np.cos(2 * np.pi * (days - 15) / 365.25)
    series = DailySeries(dt.date(2012, 1, 1), mean_c - 3.5 + np.sin(days), mean_c + 3.5 + np.cos(days))
    traces = view_on(Site("tropic", latitude, 121.0, 10), series, dt.date(2023, 12, 1)).past
    for name in ("Pinus thunbergii", "Pinus taiwanensis"):
        species = load_catalogue().find(name)
        dating = date_markers(species, traces)
        for window in species.windows:
            if window.school == "by heat left" or (window.job, window.name) == ("feeding", "growing season"):
                opens, closes = dates_of(open_window(dating, window.opens, window.closes))
                assert opens < closes < traces.date_of(traces.season_start + 447)


PINES = [one for one in ALL if "needles_through" in one.markers and "candles_moving" in one.markers]


@pytest.mark.parametrize("species", PINES, ids=lambda one: one.name)
@pytest.mark.parametrize("site", [NORTH, SOUTH], ids=["north", "south"])
def test_pines_are_repotted_before_needles_show_and_plucked_between_hard_needles_and_long_candles(
    species, site
) -> None:
    """Common practice, no source; needles are hard some weeks after they came through, six at the least.

    In a mild winter the work runs until candles are 3 to 5 cm long.
    """
    dating = date_markers(species, view(site, ON[site]).past)
    long, through = dating.dates["candles_three_cm"], dating.dates["needles_through"]
    for window in repotting(species):
        opening = open_window(dating, window.opens, window.closes)
        given = np.isfinite(opening.opens)
        assert (opening.closes[given] <= through[given]).all(), window.name
    plucked = [one for one in species.windows if one.job == "needle-work"]
    assert plucked
    for window in plucked:
        opening = open_window(dating, window.opens, window.closes)
        given = np.isfinite(opening.opens)
        assert (opening.closes[given] <= long[given]).all(), window.name
        if not given.any():  # late winter, where the cold never lasts
            continue
        assert np.median(opening.opens[given]) >= np.median(through[given]) - 365 + 42, window.name


def erring(species: Species, name: str) -> bool:
    """Whether a marker's dates have an error, its own or one of those they hang on by days alone."""
    marker = species.markers[name]
    return bool(marker.sd_days) or any(erring(species, other) for other in marker.draws_on)


@pytest.mark.parametrize("species", ALL, ids=lambda one: one.name)
def test_what_the_weather_decides_has_an_error(species: Species) -> None:
    """A threshold of the weather's stands for what a tree does, give or take some days."""
    for window in species.windows:
        for name in (*window.opens, *window.closes):
            assert erring(species, name) or of_calendar(name, species.markers), name
