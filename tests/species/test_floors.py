"""The floors and ceilings of the catalogue: common practice, written from memory, no source."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from season_engine.species.catalogue import load_catalogue
from season_engine.species.floors import Floor, floor_of, floors


def test_every_species_has_a_floor_and_every_row_is_of_something_that_there_is():
    known = load_catalogue().species
    assert [name for name, one in known.items() if floor_of(one) is None] == []
    groups = {one.group for one in known.values()}
    assert {group for row in floors() for group in row.groups} == groups - groups_by_species(known)
    assert {name for row in floors() for name in row.species} <= set(known)


def groups_by_species(known) -> set[str]:
    """Groups of which every species has a row of its own."""
    own = {name for row in floors() for name in row.species}
    return {one.group for one in known.values()} - {
        one.group for name, one in known.items() if name not in own
    }


@pytest.mark.parametrize(
    ("name", "size", "floor_c", "ceiling_c"),
    [
        ("Pinus thunbergii", "large", -8, 38),
        ("Pinus sylvestris", "medium", -15, 38),
        ("Larix decidua", "medium", -18, 35),
        ("Ficus carica", "small", -3, 38),
        ("Ficus microcarpa", "small", 8, 40),
        ("Ficus rubiginosa", "medium", 0, 40),
        ("Olea europaea", "medium", -3, 40),
    ],
)
def test_floors_and_ceilings(name, size, floor_c, ceiling_c):
    row = floor_of(load_catalogue().find(name))
    assert (row.of_size(size), row.ceiling_c) == (floor_c, ceiling_c)


def test_a_row_is_of_groups_or_of_species_and_measured_roots_have_a_source():
    row = {"floor_c": -5, "ceiling_c": 35, "from": "practice", "certainty": 70}
    for more in (
        {},
        {"groups": ("elm",), "species": ("Acer rubrum",)},
        {"groups": ("elm",), "roots_killed_c": -9},
    ):
        with pytest.raises(ValidationError):
            Floor.model_validate({**row, **more})
