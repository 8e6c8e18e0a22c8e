"""The criteria of a window in words: how far each kind of marker is, and what its numbers rest on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from season_engine.facts import CHILL_PORTIONS, Degrees, HeatUnit, Text, Units
from season_engine.markers.so_far import (
    DayLength,
    HeatLeft,
    MeanSoFar,
    NotBefore,
    SoFar,
    SumSoFar,
    WarmthSoFar,
)
from season_engine.words.markers import label_text, origin_text, reason_text
from season_engine.words.speech import speaking
from tests.factories import DEGREE_DAYS, an_assessment

MET = replace(an_assessment().reasons[0], label=Text("buds swell"), so_far=None)


def told(so_far: SoFar | None, units: Units = "degC", language: str = "en") -> str:
    with speaking(language, units):
        return reason_text(replace(MET, so_far=so_far))


@pytest.mark.parametrize(
    ("so_far", "celsius", "fahrenheit"),
    [
        (None, "Buds swell", "Buds swell"),
        (SumSoFar(52.3, 60, CHILL_PORTIONS), "Buds swell: 52 of 60 chill portions so far", ""),
        (
            SumSoFar(100, 1500, HeatUnit(5, 30)),
            "Buds swell: 100 of 1500 growing degree days above 5 °C capped at 30 °C so far",
            "Buds swell: 180 of 2700 growing degree days above 41 °F capped at 86 °F so far",
        ),
        (
            HeatLeft(300, 200, DEGREE_DAYS),
            "Buds swell: 300 growing degree days above 5 °C still to come, 200 is the mark",
            "Buds swell: 540 growing degree days above 41 °F still to come, 360 is the mark",
        ),
        (DayLength(11.26), "Buds swell: it is 11.3 hours long", ""),
        (
            MeanSoFar(7.04, 10, root_zone=True),
            "Buds swell: the root zone averaged 7.0 °C over the last 10 days",
            "Buds swell: the root zone averaged 44.7 °F over the last 10 days",
        ),
        (
            MeanSoFar(-0.01, 5, root_zone=False),
            "Buds swell: the air averaged 0.0 °C over the last 5 days",
            "Buds swell: the air averaged 32.0 °F over the last 5 days",
        ),
        (NotBefore(Text("midwinter is past")), "Buds swell: not before midwinter is past", ""),
        (WarmthSoFar(40.4), "Buds swell: 40 % of the warmth it wants so far", ""),
    ],
)
def test_each_kind_says_how_far_it_is(so_far: SoFar | None, celsius: str, fahrenheit: str) -> None:
    assert told(so_far) == celsius
    assert told(so_far, "degF") == (fahrenheit or celsius)


def test_another_language_begins_as_its_translation_does() -> None:
    assert told(None, language="de") == "die Knospen schwellen"
    assert told(DayLength(11.26), language="de").startswith("die Knospen schwellen: ")
    assert "11,3" in told(DayLength(11.26), language="de")


def test_a_label_tells_its_temperature_in_the_units_that_are_spoken() -> None:
    label = Text("ten days together average {degrees}", (("degrees", Degrees(17.5, 1)),))
    assert label_text(label) == "Ten days together average 17.5 °C"
    with speaking("en", "degF"):
        assert label_text(label) == "Ten days together average 63.5 °F"


def test_what_the_numbers_rest_on_is_told_with_its_source() -> None:
    source = Text("roots start at {degrees}, a paper", (("degrees", Degrees(5, 0)),))
    assert origin_text(replace(MET, provenance="memory")) == "from memory"
    fitted = replace(MET, provenance="fit", source=source)
    assert origin_text(fitted) == "fitted: roots start at 5 °C, a paper"
    with speaking("de", "degF"):
        assert origin_text(replace(MET, provenance="published", source=source)).endswith("41 °F, a paper")
