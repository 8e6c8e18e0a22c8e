"""Trees of warm countries through the year, at five places where they stand outdoors all year or nearly.

The weather is invented: waves of the year with nights and days as such places have them, from memory. When
growers work there is common practice as remembered, no source: near the equator at any time, also high up
where it is mild, in a monsoon country with a warm winter from its end on, at 26 N and 27 S from spring to
autumn.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from season_engine.phenology.dating import date_markers
from season_engine.site import Site
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.opening import open_window
from tests.windows.test_catalogue_laws import counted_from
from tests.yards import view_on

FIRST, DAYS = dt.date(2005, 1, 1), 20 * 365
YEAR = 2023
MONTHS = range(1, 13, 2)  # looked at where all twelve are alike
IN_WINDOW = {"open", "last-call"}


@dataclass(frozen=True)
class Place:
    """A year of two waves, degC: the second, twice a year, makes a hot season before the rains."""

    latitude: float
    mean_c: float
    swing_c: float
    warmest_day: int
    day_range_c: float
    spell_c: float  # of warm and cold spells
    twice_c: float = 0.0


PLACES = {
    "equator": Place(1.3, 27.0, 0.6, 130, 7.0, 0.6),
    "mild highland": Place(6.2, 22.0, 0.4, 100, 10.0, 0.6),
    "monsoon": Place(18.0, 26.0, 3.5, 152, 11.0, 1.2, twice_c=1.5),
    "26 N": Place(25.8, 24.5, 4.4, 212, 8.0, 2.2),
    "27 S": Place(-27.4, 20.0, 5.0, 15, 10.0, 1.8),
}
# A species of each group of warm countries.
TROPICAL = (
    "Premna serratifolia",
    "Wrightia religiosa",
    "Casuarina equisetifolia",
    "Tamarindus indica",
    "Adenium obesum",
)
SHORE = "Pemphis acidula"
SUBTROPICAL = ("Ficus benjamina", "Sageretia thea", "Bougainvillea glabra", "Portulacaria afra")


@cache
def series(place: Place) -> DailySeries:
    """Twenty years of it."""
    draws, spells = np.random.default_rng(5).normal(0, 1, DAYS), np.zeros(DAYS)
    for n in range(1, DAYS):
        spells[n] = 0.8 * spells[n - 1] + 0.6 * draws[n]
    angle = 2 * np.pi * np.arange(DAYS) / 365.25
    mean_c = place.mean_c + place.swing_c * np.cos(angle - 2 * np.pi * place.warmest_day / 365.25)
    mean_c += place.spell_c * spells - place.twice_c * np.cos(2 * (angle - 0.17))
    return DailySeries(FIRST, mean_c - place.day_range_c / 2, mean_c + place.day_range_c / 2)


@cache
def view(name: str, on: dt.date) -> SeasonView:
    place = PLACES[name]
    return view_on(Site(name, place.latitude, 100.0, 10), series(place), on)


def repotting(species: Species) -> Window:
    return next(one for one in species.windows if one.job == "repotting")


def months_in_window(place: str, name: str, months: Iterable[int]) -> set[int]:
    """Those of the months on whose fifteenth the answer to "may I repot it?" is yes."""
    species = load_catalogue().find(name)
    found = set()
    for month in months:
        seen = view(place, dt.date(YEAR, month, 15))
        if assess(Prospect(seen, species), repotting(species)).verdict in IN_WINDOW:
            found.add(month)
    return found


@pytest.mark.parametrize("name", [*TROPICAL, *SUBTROPICAL])
@pytest.mark.parametrize("place", ["equator", "mild highland"])
def test_where_it_is_never_cool_they_are_repotted_all_year(place: str, name: str) -> None:
    assert months_in_window(place, name, MONTHS) == {*MONTHS}


def test_a_tree_of_hot_shores_is_not_repotted_where_it_is_never_hot() -> None:
    assert months_in_window("equator", SHORE, MONTHS) == {*MONTHS}
    assert months_in_window("mild highland", SHORE, MONTHS) == set()


@pytest.mark.parametrize(("name", "shut"), [*((one, set()) for one in TROPICAL), (SHORE, {1})])
def test_in_a_monsoon_country_from_the_end_of_its_warm_winter_on(name: str, shut: set[int]) -> None:
    open_in = set(range(3, 12, 2))
    assert months_in_window("monsoon", name, open_in | shut) == open_in


@pytest.mark.parametrize("name", [*TROPICAL, SHORE])
def test_at_26_n_from_spring_to_autumn(name: str) -> None:
    shut = set() if name == "Casuarina equisetifolia" else {1}  # it bears cooler nights
    open_in = set(range(5, 10))
    assert months_in_window("26 N", name, open_in | shut) == open_in


@pytest.mark.parametrize("name", [*TROPICAL, SHORE])
def test_at_27_s_from_late_spring_on_and_not_in_winter(name: str) -> None:
    open_in = {1} if name == SHORE else {1, 12}
    assert months_in_window("27 S", name, open_in | {5, 6, 7, 8}) == open_in


@pytest.mark.parametrize("place", ["equator", "monsoon"])
def test_no_temperate_window_comes_where_there_is_no_winter(place: str) -> None:
    traces = view(place, dt.date(YEAR, 11, 1)).past
    for species in load_catalogue().species.values():
        if "cool_season" not in species.markers:
            continue
        dating = date_markers(species, traces)
        for window in species.windows:
            if "cool_season" in counted_from(species, window.opens):
                opening = open_window(dating, window.opens, window.closes)
                assert opening.chance_given < 0.5, (species.name, window.job, window.name)


def test_they_say_that_rains_and_dry_months_can_not_be_read_from_temperatures() -> None:
    for species in load_catalogue().species.values():
        if "cold_nights_past" in species.markers:
            assert "be read from temperatures" in repotting(species).note.template, species.name
