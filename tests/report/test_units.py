"""Fahrenheit in prose: every temperature, difference and sum turned by its own rule, and none left over."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from season_engine.cli import main
from season_engine.delivery.message import compose
from season_engine.pipeline import make_report
from season_engine.report.units import in_units, number_in, numbers_in, sum_in
from season_engine.workspace.workspace import load_workspace
from tests.workspaces import make_workspace

from .factories import a_sum

ON = "2025-04-14"
LEFT_OVER = re.compile(r"deg[CF]|°\s*C\b|deg\s?C\b|degrees C\b|_c\b|elsius")


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    [
        ("the root zone reaches 7 degC", "the root zone reaches 45 degF"),
        ("a night of -2 degC or colder", "a night of 28 degF or colder"),
        ("ten days together average 17.5 degC", "ten days together average 63.5 degF"),
        ("a steady 6 °C banks one", "a steady 43 °F banks one"),
        ("the lowest reading, -40.0 degC, is", "the lowest reading, -40.0 degF, is"),
        ("is 10 degrees C off", "is 18 degF off"),
        ("by 1.5 / 0.5 degrees C (lowest / highest)", "by 2.7 / 0.9 degF (lowest / highest)"),
        ("stood still at 0.0 / 10.0 degC for", "stood still at 32.0 / 50.0 degF for"),
        (
            "Buds swell: 100 of 1,500 growing degree days above 5 degC so far",
            "Buds swell: 180 of 2,700 growing degree days above 41 degF so far",
        ),
        (
            "900 growing degree days above 5 degC capped at 30 degC still to come, 1500 is the mark",
            "1620 growing degree days above 41 degF capped at 86 degF still to come, 2700 is the mark",
        ),
        ("52 of 45 chill portions so far, 14 days", "52 of 45 chill portions so far, 14 days"),
    ],
)
def test_each_by_its_own_rule(celsius: str, fahrenheit: str) -> None:
    """Fahrenheit is 9/5 of Celsius and 32 more; differences and sums have no 32."""
    assert in_units(celsius, "degF") == fahrenheit
    assert in_units(celsius, "degC") == celsius.replace("degrees C", "degC")


@given(st.text())
def test_prose_without_temperatures_stays_as_it_is(text: str) -> None:
    if not re.search(r"degC|°C|degrees C", text):
        assert in_units(text, "degF") == in_units(text, "degC") == text


@given(st.floats(-60, 60, allow_nan=False))
def test_turning_back_gives_the_same_but_for_rounding(value: float) -> None:
    told = in_units(f"{value:.1f} degC", "degF")
    assert float(told.removesuffix(" degF")) == pytest.approx(float(f"{value:.1f}") * 1.8 + 32, abs=0.0501)
    assert number_in(value, "degC", "degF") == pytest.approx(value * 1.8 + 32)
    assert number_in(value, "days", "degF") == value


def test_a_sum_is_turned_whole_and_chill_is_not() -> None:
    heat = a_sum()
    turned = sum_in(heat, "degF")
    assert turned.unit == "growing degree days above 41 degF"
    assert np.allclose(turned.so_far, np.array(heat.so_far) * 1.8)
    assert sum_in(a_sum("chill", 60, "chill portions"), "degF") == a_sum("chill", 60, "chill portions")
    assert sum_in(heat, "degC") == heat


def test_a_markers_numbers_are_named_for_their_unit() -> None:
    numbers = {"level_c": 7.0, "steepness_per_c": -0.9, "need": 100.0, "days": 10, "zone": "root"}
    unit = "growing degree days above 5 degC"
    assert numbers_in(numbers, unit, "degF") == {
        "level_f": "44.6", "steepness_per_f": "-0.5", "need": "180", "days": "10", "zone": "root",
    }  # fmt: skip
    assert numbers_in(numbers, unit, "degC")["level_c"] == "7"


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


@pytest.mark.parametrize("on", [ON, "2024-08-05", "2024-11-18"])
def test_a_whole_report_in_fahrenheit_has_no_celsius_left(yards, tmp_path, on) -> None:
    for units, folder in yards.items():
        run("report", "--workspace", folder, "--on", on, "--out", tmp_path / units)
    (folder,) = [path for path in (tmp_path / "degF").iterdir() if path.is_dir()]
    told = {path.name: path.read_text("utf-8") for path in folder.iterdir()}
    for name in ("report.txt", "report.html"):
        assert "°F" in told[name]
        assert LEFT_OVER.findall(told[name]) == []
    in_celsius = (tmp_path / "degC" / folder.name / "report.txt").read_text("utf-8")
    assert told["report.txt"].count("°F") == in_celsius.count("°C")
    assert "°F" not in in_celsius


def test_the_mail_too(yards) -> None:
    workspace = load_workspace(yards["degF"])
    report = make_report(workspace, workspace.sites, dt.date.fromisoformat(ON))
    now = dt.datetime(2025, 4, 14, tzinfo=dt.UTC)
    message = compose(report, sender="yard@example.org", to="grower@example.org", again=0, now=now)
    parts = [part.get_content() for part in message.walk() if part.get_content_maintype() == "text"]
    assert len(parts) == 2
    assert all("°F" in part and not LEFT_OVER.search(part) for part in parts)


@pytest.mark.parametrize("species", ["Pinus thunbergii", "Acer palmatum", "Juniperus chinensis"])
def test_check_and_its_trail_too(yards, species) -> None:
    asked = ("check", "repotting", "--species", species, "--workspace", yards["degF"], "--on", ON)
    text = run(*asked, "--explain")
    assert "°F" in text
    assert LEFT_OVER.findall(text) == []


def test_weather_too(yards) -> None:
    assert not LEFT_OVER.search(run("weather", "--workspace", yards["degF"], "--on", ON))


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
