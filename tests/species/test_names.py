"""One way to say which tree or species is meant, whichever command asks."""

from __future__ import annotations

import pytest

from season_engine.errors import GrowerError
from season_engine.species.catalogue import load_catalogue
from season_engine.species.names import KnownNames
from season_engine.tree import Tree

EMBER = Tree("n08", "lower", "Acer palmatum 'Deshojo'", name="Ember")
CHILD = Tree("n09", "lower", "japanese maple", name="Ember's Child")
FERRY = Tree("n10", "lower", "Acer buergerianum", name="The Ferry")
RAFT = Tree("s07", "dune", "trident maple", name="The Raft")
OTHER_RAFT = Tree("s08", "lower", "Pinus nigra", name="Raft")
NAMED_AS_AN_ID = Tree("s09", "dune", "Kowhai", name="n10")
TREES = (EMBER, CHILD, FERRY, RAFT, OTHER_RAFT, NAMED_AS_AN_ID)


def names(at: set[str] | None = None, trees: tuple[Tree, ...] = TREES) -> KnownNames:
    return load_catalogue().known_names(trees, at)


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("n08", EMBER),
        (" N08 ", EMBER),
        ("ember", EMBER),
        ("Ember\N{RIGHT SINGLE QUOTATION MARK}s child", CHILD),
        ("the ferry", FERRY),
        ("Ferry", FERRY),
        ("n10", FERRY),  # an id before a name
        ("s09", NAMED_AS_AN_ID),
        ("trident", "Acer buergerianum"),
        ("Trident maples", "Acer buergerianum"),
        ("acer buergerianum", "Acer buergerianum"),
        ("A. palmatum", "Acer palmatum"),
        ("P. mume", "Prunus mume"),
        ("Acer palmatum 'Deshojo'", "Acer palmatum"),
        ("Japanese maple", "Acer palmatum"),
        ("black pine", "Pinus nigra"),  # the only one kept, though it is another's whole name
        ("Pinus thunbergii", "Pinus thunbergii"),  # a botanical name is never another
        ("pine", "Pinus nigra"),
        ("KOWHAI", "Kowhai"),
        ("olive", "Olea europaea"),  # kept by nobody here
    ],
)
def test_a_tree_before_a_species_and_ones_own_before_others(name: str, meant: Tree | str) -> None:
    assert names().called(name) == meant


def test_trees_at_the_sites_asked_about_come_first() -> None:
    assert names({"dune"}).called("raft") == RAFT
    assert names({"lower"}).called("raft") == OTHER_RAFT
    assert names({"dune"}).called("Ember") == EMBER  # no other is called so
    assert names({"dune"}).called("maple") == "Acer buergerianum"
    assert names({"dune"}).trees_of("Acer buergerianum") == (RAFT,)
    assert names().trees_of("Acer palmatum") == (EMBER, CHILD)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("maple", '"maple" could be "Japanese maple" (n08, n09) or "trident maple" (n10, s07). Say which.'),
        ("raft", '"raft" could be s07 (Acer buergerianum, at dune) or s08 (Pinus nigra, at lower).'),
        ("spruce", '"spruce" could be "Engelmann spruce", "Ezo spruce", "Norway spruce",'),
        ("embr", ' or "Ember"?'),
        ("tridant", 'Did you mean "trident maple"?'),
        ("blak pine", 'Did you mean "black pine"?'),
        ("maple pine", '"maple pine" is no one species.'),
        ("zzzz", "a species goes by its botanical name or a common one"),
        ("", 'There is no tree and no species ""'),
    ],
)
def test_what_may_be_several_is_listed_and_what_is_unknown_asked_about(name: str, said: str) -> None:
    with pytest.raises(GrowerError) as caught:
        names().called(name)
    assert said in str(caught.value)


def test_a_tree_and_a_species_asked_for_as_such() -> None:
    assert names().tree_called("ember") == EMBER
    assert names(trees=(NAMED_AS_AN_ID,)).tree_called("n10") == NAMED_AS_AN_ID
    assert names().species_called("Tridents") == "Acer buergerianum"
    with pytest.raises(GrowerError, match='There is no tree "trident"'):
        names().tree_called("trident")
    with pytest.raises(GrowerError, match='no species "Ember"'):
        names().species_called("Ember")


def test_every_name_in_the_catalogue_is_found_by_those_who_keep_nothing() -> None:
    known = names(trees=())
    for name, species in load_catalogue().names.items():
        assert known.called(name) == species
