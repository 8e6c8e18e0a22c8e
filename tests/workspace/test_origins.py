from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.workspace.origins import from_other_hemisphere

SOUTHERN = [
    *(
        "south",
        "the South",
        "southern hemisphere",
        "from the southern hemisphere",
        "-33.9",
        "33.9 S",
        "33,9°s",
    ),
    *(
        "South Africa",
        "New Zealand",
        "new south wales",
        "nursery in Australia",
        "Hobart, Tasmania",
        "Südafrika",
    ),
    *("Western Australia", "the south of Chile"),
]
NORTHERN = [
    *("north", "northern hemisphere", "51.5", "+51.5", "51.5 N", "Japan", "Osaka, Japan", "South Korea"),
    *("south of France", "Wales", "southern Italy", "Deutschland", "from the Netherlands"),
]
# Not plain: unknown places, countries on the equator, a latitude told in two ways.
UNCLEAR = [
    "",
    "a friend",
    "Brazil",
    "Kenya",
    "the south garden",
    "0",
    "-33.9 N",
    "95 S",
    "an island",
    "2019",
    "S",
]


@pytest.mark.parametrize("words", SOUTHERN)
def test_the_south(words: str) -> None:
    assert from_other_hemisphere(words, "north")
    assert not from_other_hemisphere(words, "south")


@pytest.mark.parametrize("words", NORTHERN)
def test_the_north(words: str) -> None:
    assert from_other_hemisphere(words, "south")
    assert not from_other_hemisphere(words, "north")


@pytest.mark.parametrize("words", ["other hemisphere", "the other hemisphere", "From the OTHER hemisphere"])
def test_the_other_one_is_the_other_one_everywhere(words: str) -> None:
    assert from_other_hemisphere(words, "north")
    assert from_other_hemisphere(words, "south")


@pytest.mark.parametrize("words", UNCLEAR)
def test_what_is_not_plain_says_nothing(words: str) -> None:
    assert not from_other_hemisphere(words, "north")
    assert not from_other_hemisphere(words, "south")


@given(words=st.text(max_size=20), latitude=st.floats(-90, 90).map(lambda value: f"{value:.2f}"))
def test_any_words_are_of_one_side_at_most(words: str, latitude: str) -> None:
    if "hemisphere" not in words:
        assert not (from_other_hemisphere(words, "north") and from_other_hemisphere(words, "south"))
    south = float(latitude) < 0
    assert from_other_hemisphere(latitude, "north") == south
