"""Fahrenheit in prose: every temperature, difference and sum turned by its own rule."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from season_engine.cli import main
from season_engine.facts import (
    CHILL_PORTIONS,
    DegreeDays,
    Degrees,
    DegreesRange,
    Extremes,
    HeatUnit,
    Sum,
    Text,
)
from season_engine.words import prose, quantities
from season_engine.words.speech import for_programs, quantity, said, speaking
from tests.factories import DEGREE_DAYS, a_sum
from tests.spoken import spelt_out
from tests.workspaces import make_workspace

ON = "2025-04-14"


@pytest.mark.parametrize(
    ("text", "values", "celsius", "fahrenheit"),
    [
        ("reaches {level}", {"level": Degrees(7)}, "reaches 7 degC", "reaches 45 degF"),
        ("average {level}", {"level": Degrees(17.5)}, "average 17.5 degC", "average 63.5 degF"),
        ("at {level}, so", {"level": Degrees(-40, 1)}, "at -40.0 degC, so", "at -40.0 degF, so"),
        ("at {level}", {"level": Degrees(-0.04, 1)}, "at 0.0 degC", "at 31.9 degF"),
        ("is {apart} off", {"apart": Degrees(10, apart=True)}, "is 10 degC off", "is 18 degF off"),
        ("{apart} colder", {"apart": Degrees(2, apart=True)}, "2 degC colder", "4 degF colder"),
        ("by {both}", {"both": Extremes(1.5, 0.5, apart=True)}, "by 1.5 / 0.5 degC", "by 2.7 / 0.9 degF"),
        ("at {both}", {"both": Extremes(0, 10)}, "at 0.0 / 10.0 degC", "at 32.0 / 50.0 degF"),
        ("at {span}", {"span": DegreesRange(Degrees(3), Degrees(5))}, "at 3 to 5 degC", "at 37 to 41 degF"),
        ("{sum}", {"sum": DegreeDays(1250)}, "1,250 degree days", "2,250 degree days"),
        (
            "{label}: {have:.0f} of {need:.0f} {unit} so far",
            {
                "label": Text("buds swell"),
                "have": Sum(100.0, DEGREE_DAYS),
                "need": Sum(1500.0, DEGREE_DAYS),
                "unit": "degree days",
            },
            "buds swell: 100 of 1500 degree days so far",
            "buds swell: 180 of 2700 degree days so far",
        ),
        (
            "{have:.0f} {unit} so far, {n} days",
            {"have": Sum(52.0, CHILL_PORTIONS), "unit": CHILL_PORTIONS, "n": 14},
            "52 chill portions so far, 14 days",
            "52 chill portions so far, 14 days",
        ),
    ],
)
def test_each_by_its_own_rule(text: str, values: dict[str, Any], celsius: str, fahrenheit: str) -> None:
    """Fahrenheit is 9/5 of Celsius and 32 more; differences and sums have no 32."""
    told = Text(text, tuple(values.items()))
    assert (spelt_out(told), spelt_out(told, "degF")) == (celsius, fahrenheit)
    assert spelt_out(Text("so: {told}", (("told", told),)), "degF") == f"so: {fahrenheit}"
    with speaking("en", "degF"):
        assert said(told) == fahrenheit.replace("deg", "°").replace("°ree", "degree")


@given(st.text())
def test_what_somebody_wrote_stays_as_it_was_written(text: str) -> None:
    assert spelt_out(text, "degF") == spelt_out(text) == text


def test_a_remark_with_temperatures_of_its_own_stays_so() -> None:
    with speaking("en", "degF"):
        assert prose.plain("3 degC colder than 41 °F") == "3 degC colder than 41 °F"


@given(st.floats(-60, 60, allow_nan=False))
def test_turning_back_gives_the_same_but_for_rounding(value: float) -> None:
    with for_programs("degF"):
        told = quantity(Degrees(value, 1))
        assert float(told.removesuffix(" degF")) == pytest.approx(value * 1.8 + 32, abs=0.0501)
        assert quantities.number(value, "degC") == pytest.approx(value * 1.8 + 32)
        assert quantities.number(value, "days") == value


def test_a_sum_is_turned_whole_and_chill_is_not() -> None:
    heat = a_sum()
    chill = a_sum("chill", 60, CHILL_PORTIONS)
    with for_programs("degF"):
        turned = quantities.season_sum(heat)
        assert np.allclose(turned.so_far, np.array(heat.so_far) * 1.8)
        assert quantities.season_sum(chill) == chill
    with for_programs("degC"):
        assert quantities.season_sum(heat) == heat


def test_a_unit_of_heat_names_its_base_and_its_cap() -> None:
    capped = HeatUnit(5.0, 30.0)
    assert str(capped) == "growing degree days above 5 degC capped at 30 degC"
    with for_programs("degF"):
        assert quantities.unit_text(DEGREE_DAYS) == "growing degree days above 41 degF"
        assert quantities.unit_text(capped) == "growing degree days above 41 degF capped at 86 degF"
        assert quantities.unit_text(CHILL_PORTIONS) == "chill portions"
    with speaking("de", "degF"):
        assert "41 °F" in quantities.unit_text(capped) and "86 °F" in quantities.unit_text(capped)


def test_a_markers_numbers_are_named_for_their_unit() -> None:
    numbers = {"level_c": 7.0, "steepness_per_c": -0.9, "need": 100.0, "days": 10, "zone": "root"}
    with for_programs("degF"):
        assert quantities.named_numbers(numbers, DEGREE_DAYS) == {
            "level_f": "44.6", "steepness_per_f": "-0.5", "need": "180", "days": "10", "zone": "root",
        }  # fmt: skip
    assert quantities.named_numbers(numbers, DEGREE_DAYS)["level_c"] == "7"


@pytest.fixture(scope="module")
def yards(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The same yard, the same readings in degC, told in either unit."""
    both = {}
    for units in ("degC", "degF"):
        both[units] = folder = make_workspace(tmp_path_factory.mktemp(units))
        text = (folder / "season.toml").read_text("utf-8").replace('units = "degC"', f'units = "{units}"')
        text = text.replace('source = "logger"', 'source = "logger"\nunits = "degC"')
        (folder / "season.toml").write_text(text, encoding="utf-8")
    return both


def run(*arguments: object) -> str:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exit_code in (0, 10, 11, 13), result.output
    return result.stdout


def test_dates_odds_and_numbers_with_a_unit_of_their_own_are_the_same_in_json(yards) -> None:
    asked = ("check", "repotting", "--species", "Pinus thunbergii", "--on", ON, "--explain", "--json")
    celsius, fahrenheit = (json.loads(run(*asked, "--workspace", yards[units])) for units in ("degC", "degF"))

    def without_prose(document: object) -> object:
        if isinstance(document, dict):
            prose = ("text", "today_why", "cautions", "aftercare", "warnings", "from")
            return {key: without_prose(value) for key, value in document.items() if key not in prose}
        return [without_prose(one) for one in document] if isinstance(document, list) else document

    assert without_prose(fahrenheit) == without_prose(celsius)
    assert fahrenheit != celsius
