"""Kinds of tree: who belongs to them, and that they name what the catalogue has."""

from __future__ import annotations

import pytest

from season_engine.errors import InputErrors
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import load_catalogue
from season_engine.species.kinds import KINDS, is_kind, kinds_in

CATALOGUE = load_catalogue()
# Botany and common practice, from memory: a few of each kind, and what is often taken for one.
MEMBERS = {
    "conifer": {"Pinus thunbergii", "Juniperus chinensis", "Larix decidua", "Taxus baccata", "Picea abies"},
    "single-flush": {"Pinus sylvestris", "Picea abies", "Abies koreana"},
    "pine": {"Pinus thunbergii", "Pinus sylvestris", "Pinus parviflora"},
    "two-flush-pine": {"Pinus thunbergii", "Pinus radiata"},
    "white-pine": {"Pinus parviflora", "Pinus strobus", "Pinus flexilis", "Pinus cembra"},
    "monterey-pine": {"Pinus radiata"},
    "black-pine": {"Pinus thunbergii"},
    "juniper": {"Juniperus chinensis", "Juniperus rigida"},
    "spruce": {"Picea glauca"},
    "larch": {"Larix kaempferi"},
    "fig": {"Ficus microcarpa"},
    "maple": {"Acer palmatum", "Acer buergerianum", "Acer campestre"},
    "trident": {"Acer buergerianum"},
    "japanese-maple": {"Acer palmatum"},
    "elm": {"Ulmus parvifolia", "Zelkova serrata"},
    "olive": {"Olea europaea"},
    "apricot": {"Prunus mume"},
    "quince": {"Chaenomeles speciosa"},
    "crab-apple": {"Malus halliana"},
    "azalea": {"Rhododendron indicum", "Rhododendron obtusum"},
    "satsuki": {"Rhododendron indicum"},
    "camellia": {"Camellia japonica"},
    "wisteria": {"Wisteria floribunda"},
}
STRANGERS = {
    "conifer": {"Ginkgo biloba", "Casuarina cunninghamiana", "Acer palmatum"},
    "single-flush": {"Pinus thunbergii", "Juniperus chinensis", "Larix decidua"},
    "two-flush-pine": {"Pinus sylvestris"},
    "white-pine": {"Pinus sylvestris"},
    "fig": {"Ficus carica"},
    "satsuki": {"Rhododendron obtusum"},
}


@pytest.mark.parametrize("kind", KINDS)
def test_who_belongs_to_a_kind(kind: str) -> None:
    assert all(is_kind(CATALOGUE.find(name), kind) for name in MEMBERS[kind])
    assert not any(
        is_kind(CATALOGUE.find(name), kind) for name in STRANGERS.get(kind, ("Prunus x yedoensis",))
    )


def test_the_kinds_name_groups_and_species_that_there_are() -> None:
    species = CATALOGUE.species
    groups = {one.group for one in species.values()}
    for kind in KINDS.values():
        assert groups.issuperset(kind.groups)
        assert species.keys() >= set(kind.species)


def test_a_name_that_is_no_kind_is_our_own_mistake() -> None:
    with pytest.raises(KeyError):
        is_kind(CATALOGUE.find("olive"), "palm")


def test_faults_are_told_with_their_lines() -> None:
    text = TomlText("species/kinds.toml", '[kind.palm]\n\n[kind.oak]\ngroup = ["deciduous oak"]\n')
    with pytest.raises(InputErrors) as caught:
        kinds_in(text)
    assert [(fault.line, fault.field) for fault in caught.value.errors] == [
        (1, "kind.palm"),
        (4, "kind.oak.group"),
    ]
