"""Stations as a grower meets them: on the command line, in the report, and warm without a heavy library."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.pipeline import read_weather
from season_engine.weather.station.readings import StationReadings
from season_engine.workspace.workspace import load_workspace
from tests.schemas import assert_valid
from tests.test_structure import HEAVY, run_cli
from tests.weather.provider import NOW, YESTERDAY, Provider, let_time_pass

SETTINGS = """
[[site]]
name = "yard"
latitude = 45.0
longitude = -30.0
elevation_m = 400

[site.weather]
source = "station"
station = "nearest"
"""

TREES = "id,species,site\np1,Pinus thunbergii,yard\n"  # else a report is on every species, and takes seconds


@pytest.fixture
def yard(first: StationReadings, tmp_path: Path) -> Path:
    """A workspace with what a first run fetched for it."""
    (tmp_path / "season.toml").write_text(SETTINGS)
    return tmp_path


@pytest.fixture
def new_yard(provider: Provider, tmp_path: Path) -> Path:
    (tmp_path / "season.toml").write_text(SETTINGS)
    return tmp_path


def call(yard: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(main, [*arguments, "--workspace", str(yard), "--on", YESTERDAY.isoformat()])
    assert "a fault of its own" not in result.stderr, result.stderr  # it names the file with the trail
    return result


def test_weather_says_which_station_and_whose(new_yard: Path) -> None:
    text = call(new_yard, "weather").stdout
    assert "Weather station Kettle Ridge (Q0001)" in text
    assert "It stands 11 km away and 100 m higher; 0.7 °C is added to its temperatures for that." in text
    assert "Meteostat, licence CC BY 4.0" in text
    assert "asked for again after a day, or now with --refresh" in text
    assert "Q0002 (Kettle Bay, 33 km); Q0007 (Kettle Airfield, 6 km)" in text
    assert f"{YESTERDAY.year - 2}" in text


def test_weather_as_json(yard: Path) -> None:
    document = json.loads(call(yard, "weather", "--json").stdout)
    assert_valid(document, "weather")
    weather = document["sites"][0]["weather"]
    assert weather["station"]["id"] == "Q0001"
    assert weather["station"]["height_difference_m"] == 100
    years = [row["year"] for row in weather["completeness"]]
    assert years == sorted(years)
    assert years[-1] == YESTERDAY.year
    assert all(0.98 <= row["observed_share"] <= 1 for row in weather["completeness"])


def test_refresh_asks_the_service(yard: Path, provider: Provider) -> None:
    call(yard, "weather")
    assert provider.counted() == {}
    call(yard, "weather", "--refresh")
    assert provider.counted()[304] > 5


def test_the_report_names_the_station_and_credits_it(yard: Path) -> None:
    (yard / "trees.csv").write_text(TREES)
    assert call(yard, "report", "--out", str(yard / "out")).exit_code == 0
    (page,) = (yard / "out").glob("*/report.txt")
    text = " ".join(page.read_text("utf-8").split())
    assert "Kettle Ridge" in text
    assert "11 km away and 100 m higher" in text
    assert "Meteostat, licence CC BY 4.0" in text
    document = json.loads((page.parent / "report.json").read_text("utf-8"))
    assert_valid(document, "report")


def test_check_warns_offline_and_still_answers(yard: Path, provider: Provider) -> None:
    ask = ("check", "repotting", "--species", "Pinus thunbergii", "--json")
    online = call(yard, *ask)
    let_time_pass(yard / "data_cache", 2)
    provider.stop()
    offline = call(yard, *ask)
    assert offline.exit_code == online.exit_code
    before, after = json.loads(online.stdout), json.loads(offline.stdout)
    (warning,) = [text for text in after.pop("warnings") if text not in before["warnings"]]
    assert "connection was refused" in warning
    before.pop("warnings")
    assert after == before


def test_without_the_network_and_nothing_kept_the_exit_is_3(new_yard: Path, provider: Provider) -> None:
    provider.stop()
    result = call(new_yard, "check", "repotting", "--species", "Pinus thunbergii")
    assert result.exit_code == 3
    assert "connection was refused" in result.stderr


def test_an_unknown_station_exits_2(yard: Path) -> None:
    (yard / "season.toml").write_text(SETTINGS.replace("nearest", "Q4711"))
    result = call(yard, "weather")
    assert result.exit_code == 2
    assert "Q4711" in result.stderr
    assert "Q0001 (Kettle Ridge, 11 km)" in result.stderr


def test_check_on_a_warm_cache_is_light_and_asks_nobody(yard: Path, provider: Provider) -> None:
    ask = ("check", "repotting", "--species", "Pinus thunbergii", "--on", YESTERDAY.isoformat(), "--json")
    done, imported = run_cli(yard, *ask)
    assert done.returncode in {0, 10, 11, 13}, done.stderr
    assert json.loads(done.stdout)["site"] == "yard"
    assert imported & (HEAVY | {"urllib3"}) == set()
    assert provider.counted() == {}


def test_the_age_of_the_readings_counts_from_the_day_asked_about(yard: Path) -> None:
    later = (YESTERDAY + dt.timedelta(days=9)).isoformat()
    result = CliRunner().invoke(main, ["weather", "--workspace", str(yard), "--on", later])
    assert "nine days old" in result.stdout


def test_the_years_are_counted_as_they_come_in_and_never_when_they_are_there(new_yard: Path) -> None:
    told: list[tuple[int, int]] = []
    workspace = load_workspace(new_yard, opened_at=NOW, progress=lambda done, of: told.append((done, of)))
    for _ in range(2):
        read_weather(workspace, workspace.sites[0], YESTERDAY)
    of = told[0][1]
    assert told == [(done, of) for done in range(1, of + 1)] and of > 1
