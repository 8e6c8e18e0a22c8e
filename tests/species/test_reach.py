"""A number measured on one species is told so, and less sure of, on another."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import InputErrors
from season_engine.files.toml_lines import TomlText
from season_engine.prints.answer import answer_text
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from tests.yards import NORTH, view

HEAD = '[species."Pinus mugo".marker.shoots_stop]\n'
RULE = """
kind = "heat_share"
label = "shoots stop"
after = "midwinter"
share = 0.4
base_c = 5
sd_days = 6
from = "memory"
"""
REACH = 'measured_on = ["Pinus sylvestris"]\nreach = "four stands"\nbeyond_sd_days = 14\n'


@pytest.mark.parametrize(
    ("species", "sd_days"), [("Pinus sylvestris", 6), ("Pinus mugo", 14), ("Picea abies", 14)]
)
def test_on_another_species_the_error_is_the_wider_one(species: str, sd_days: float) -> None:
    marker = load_catalogue().find(species).markers["shoots_stop"]
    assert marker.sd_days == sd_days
    assert marker.stretched_to(species) == (species != "Pinus sylvestris")
    assert "beyond_sd_days" not in marker.figures


def test_what_is_measured_on_nothing_in_particular_is_the_same_on_all() -> None:
    marker = load_catalogue().find("Pinus mugo").markers["shoots_hard"]
    assert marker.on("Picea abies") is marker


def test_every_published_number_of_the_package_says_what_it_was_measured_on() -> None:
    for species in load_catalogue().species.values():
        for name, marker in species.markers.items():
            assert (marker.provenance == "published") <= bool(marker.measured_on), (species.name, name)
            assert all(load_catalogue().get(one) for one in marker.measured_on), "a species of the catalogue"


@pytest.mark.parametrize("species", ["Pinus sylvestris", "Pinus mugo"])
def test_the_trail_says_so(species: str) -> None:
    prospect = Prospect(view(NORTH, dt.date(2025, 7, 1)), load_catalogue().find(species))
    window = next(one for one in prospect.species.windows if "shoots_hard" in one.opens)
    text = " ".join(answer_text(answer_about(prospect, [window], explained=True)).split())
    stretched = " Measured in four stands of Scots pine in Lapland, stretched to this species."
    assert (stretched in text) == (species != "Pinus sylvestris")
    assert stretched.replace(", stretched to this species", "") in text or species != "Pinus sylvestris"


def test_a_growers_own_number_may_have_a_reach_and_must_have_it_whole() -> None:
    own = Catalogue([TomlText("own.toml", HEAD + RULE + REACH)]).find("Pinus mugo")
    assert own.markers["shoots_stop"].sd_days == 14
    assert own.without_own_numbers().markers["shoots_stop"].sd_days == 14
    for fault, says in (
        (REACH.partition("\n")[2], "go together"),
        (REACH.replace("14", "5"), "no less than sd_days"),
    ):
        with pytest.raises(InputErrors, match=says):
            Catalogue([TomlText("own.toml", HEAD + RULE + fault)]).find("Pinus mugo")
