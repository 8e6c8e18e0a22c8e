"""Temperatures in the catalogue's texts: the forms they are written in, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from season_engine.cli import main
from season_engine.tables.texts import bare_temperature, with_values
from tests.species.test_own_catalogue import YARD, yard
from tests.spoken import spelt_out


@pytest.mark.parametrize(
    ("text", "celsius", "fahrenheit"),
    [
        ("under {3 degC}", "under 3 degC", "under 37 degF"),
        ("under {-2.5 degC}", "under -2.5 degC", "under 27.5 degF"),
        ("under {28 degF}", "under -2 degC", "under 28 degF"),
        ("between {3 degC} and {5 degC}", "between 3 degC and 5 degC", "between 37 degF and 41 degF"),
        ("at {3..5 degC}", "at 3 to 5 degC", "at 37 to 41 degF"),
        ("at {28..41 degF}", "at -2 to 5 degC", "at 28 to 41 degF"),
        ("{2 K} colder", "2 degC colder", "4 degF colder"),
        ("{2..4 K} colder", "2 to 4 degC colder", "4 to 7 degF colder"),
        ("after {1,250 degree days}", "after 1,250 degree days", "after 2,250 degree days"),
        ("after {250 degree days}", "after 250 degree days", "after 450 degree days"),
    ],
)
def test_each_form(text: str, celsius: str, fahrenheit: str) -> None:
    """Fahrenheit is 9/5 of Celsius and 32 more; differences and sums have no 32."""
    told = with_values(text)
    assert (spelt_out(told), spelt_out(told, "degF")) == (celsius, fahrenheit)


@pytest.mark.parametrize(
    "text",
    [
        "Out again by degrees, in 2-3 weeks or 10 to 14 days.",
        "Branches at an angle of 45 degrees, or a 45-degree angle; 20° of slope do no harm.",
        "North of 45° N, below about 26 degrees of latitude.",
        "Two or three buds; {3 degC} or 5 days; from {3 degC} to 3 weeks.",
        "New Forests 12, 5-10 (1990), Table 2c, an F1 hybrid in a pot of 10 l",
        "About -- as far as one knows",
    ],
)
def test_angles_counts_and_sources_are_no_temperatures(text: str) -> None:
    assert with_values(text)


@pytest.mark.parametrize(
    "text",
    [
        "3 degC", "5 °C", "5°c", "5 ºC", "5 ℃", "5C", "41 °F", "41 deg F", "25 degrees Celsius",
        "25 degree Celsius", "minus five degrees", "minus five", "five degrees of frost", "5 degrees", "5°",
        "twenty-five degrees", "5 Grad", "down to -5", "five below zero", "2 K colder", "250 degree days",
        "250 growing degree-days",
    ],
)  # fmt: skip
def test_a_temperature_outside_braces_is_told_back_with_the_form(text: str) -> None:
    assert bare_temperature(f"Keep it at {text}, if you can.")
    with pytest.raises(PydanticCustomError) as caught:
        with_values(f"Keep it at {text}, if you can.")
    assert "{3..5 degC} for a range" in caught.value.context["hint"]


@pytest.mark.parametrize(
    "text",
    ["between 3 and {5 degC}", "3 to {5 degC}", "3-{5 degC}", "{3 degC} to 5.", "2 or {4 K} colder"],
)
def test_half_a_range_is_none(text: str) -> None:
    with pytest.raises(PydanticCustomError, match="outside braces"):
        with_values(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("at {5 °C}", "no form of a temperature"),
        ("at {5 C}", "no form of a temperature"),
        ("at { 5 degC }", "no form of a temperature"),
        ("at {3-5 degC}", "no form of a temperature"),
        ("at {five degC}", "no form of a temperature"),
        ("at {degrees}", "no form of a temperature"),
        ("at {}", "no form of a temperature"),
        ("at {3..5 degrees}", "no form of a temperature"),
        ("at {1250,3 degree days}", "no form of a temperature"),
        ("at {5..3 degC}", "from the lower to the higher"),
        ("at {3..3 degC}", "from the lower to the higher"),
        ("at {-2 K}", "more than nought"),
        ("at {75 degC}", "beyond what a tree"),
        ("at {3 degC", "belongs to no temperature"),
        ("at 3 degC}", "belongs to no temperature"),
        ("{{3 degC}}", "belongs to no temperature"),
    ],
)
def test_braces_that_hold_no_form_are_told(text: str, said: str) -> None:
    with pytest.raises(PydanticCustomError) as caught:
        with_values(text)
    assert said in caught.value.context["text"]


@given(st.text())
def test_any_other_text_is_itself_or_refused(text: str) -> None:
    try:
        told = with_values(text)
    except PydanticCustomError:
        return
    if not told.values:
        assert told.template == spelt_out(told) == spelt_out(told, "degF") == text


NEW = """
[species."Juniperus fictilis"]
group = "juniper"
common = ["clay juniper"]
note = "{note}"
[[species."Juniperus fictilis".window]]
job = "repotting"
name = "{name}"
opens = ["growth_starts"]
closes = ["midsummer"]
aftercare = [
    "Out of the wind.",
    "{care}",
]
"""


def checked(folder: Path, **texts: str) -> str:
    own = NEW
    for name, text in {"note": "A note.", "name": "my own", "care": "Shade.", **texts}.items():
        own = own.replace(f"{{{name}}}", text)
    told = CliRunner().invoke(
        main,
        ["check", "repotting", "--species", "clay juniper", "--on", "2025-04-14", "--window", "my own",
         "--workspace", str(yard(folder, catalogue=own))],
    )  # fmt: skip
    return " ".join(told.output.split())


def test_a_growers_own_note_is_told_in_the_units_of_the_yard(tmp_path: Path) -> None:
    note = "Roots rest between {3 degC} and {5 degC}; a hollow is {2 K} colder."
    assert "rest between 3 °C and 5 °C; a hollow is 2 °C colder." in checked(tmp_path, note=note)
    (tmp_path / "season.toml").write_text('units = "degF"\n' + YARD, "utf-8")
    told = CliRunner().invoke(
        main,
        ["check", "repotting", "--species", "clay juniper", "--on", "2025-04-14", "--window", "my own",
         "--workspace", str(tmp_path)],
    )  # fmt: skip
    assert "between 37 °F and 41 °F; a hollow is 4 °F colder." in " ".join(told.output.split())


@pytest.mark.parametrize(
    ("texts", "place", "said"),
    [
        (
            {"note": "Never below 5 °C."},
            "catalogue.toml, line 5, species.Juniperus fictilis.note",
            'note says "5 °C" outside braces',
        ),
        ({"note": "Never below {5 °C}."}, "catalogue.toml, line 5", 'note has "{5 °C}" in it'),
        (
            {"care": "Shade from 28 degC."},
            "catalogue.toml, line 11",
            'aftercare says "28 degC" outside braces',
        ),
        ({"name": "above 7 degC"}, "catalogue.toml, line 8", "a name must hold no temperature"),
    ],
)
def test_a_bare_temperature_is_told_with_file_line_field_and_form(
    tmp_path: Path, texts: dict[str, str], place: str, said: str
) -> None:
    told = checked(tmp_path, **texts)
    assert place in told
    assert said in told
    assert ("{3 degC} for a temperature" in told) == ("name" not in texts)


def test_a_text_of_a_few_letters_says_nothing(tmp_path: Path) -> None:
    marker = '[species."Juniperus fictilis".marker.dawn]\nkind = "season_day"\nday = 9\nfrom = "memory"\n'
    yard(tmp_path, catalogue=f'{NEW.partition("note =")[0]}{marker}label = "up"\n')
    told = CliRunner().invoke(
        main, ["check", "repotting", "--species", "clay juniper", "--on", "2025-04-14",
               "--workspace", str(tmp_path)],
    )  # fmt: skip
    said = " ".join(told.output.split())
    assert "label string should have at least 3 characters" in said
    assert "species.Juniperus fictilis.marker.dawn.label" in said
