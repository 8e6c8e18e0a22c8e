"""The backtest of a batch gives the scores of the command `backtest`, however sites are cut into blocks."""

from __future__ import annotations

import csv
import gzip
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.verify.station_files import read_sites
from season_engine.verify.weather_file import read_weather
from tests.batch.made import MadeSite, write_parquet, write_sites

TWELVE = Path(__file__).parents[1] / "data" / "japan" / "twelve"
SITES = ("Aomori", "Sendai", "Tokyo")
EVENT = "Prunus mume"
UNTIL = "2018"


@pytest.fixture
def three(tmp_path: Path) -> Path:
    """Three of the stations, in the files of both commands."""
    every = read_sites(TWELVE / "sites.csv")
    sites = [every[name] for name in SITES]
    with gzip.open(TWELVE / "weather.csv.gz", "rt", encoding="utf-8") as file:
        lines = [line for line in file if line.startswith(("site,", *(f"{name}," for name in SITES)))]
    (tmp_path / "weather.csv").write_text("".join(lines), encoding="utf-8")
    weather, _ = read_weather(tmp_path / "weather.csv", SITES)
    (tmp_path / "weather").mkdir()
    write_parquet(tmp_path / "weather" / "days.parquet", [MadeSite(one, weather[one.name]) for one in sites])
    write_sites(tmp_path / "sites.csv", sites)
    with (TWELVE / "events.csv").open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file)
    with (tmp_path / "events.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *(row for row in rows if row[0] in SITES and row[1] == EVENT)])
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, [*arguments])


def test_pooled_scores_are_those_of_the_backtest(three: Path) -> None:
    shared = ("--events", str(three / "events.csv"), "--train-until", UNTIL, "--lead-weeks", "4,0")
    whole = ("--sites", str(TWELVE / "sites.csv"), "--weather", str(three / "weather.csv"))
    alone = run("backtest", *whole, *shared, "--json", "--jobs", "1")
    assert alone.exit_code == 0, alone.stderr
    of_catalogue = [row for row in json.loads(alone.stdout)["rows"] if row["rule"] == "catalogue"]
    assert of_catalogue
    out = three / "out"
    parts = ("--sites", str(three / "sites.csv"), "--weather", str(three / "weather"), "--out", str(out))
    batch = ("batch", *parts, *shared, "--backtest", "--on", "2024-12-31", "--workers", "1")
    found = run(*batch, "--block-sites", "2")
    assert found.exit_code == 0, found.stderr
    rows = json.loads((out / "_backtest.json").read_text("utf-8"))["rows"]
    assert rows == of_catalogue
    assert "2018" in found.stdout
    assert len([*out.glob("block=*/part.parquet")]) == 2
    other = run(*batch[:-1], "2", "--block-sites", "2", "--lead-weeks", "2")
    assert "--backtest with its options and events" in other.stderr


def test_windows_and_a_backtest_are_asked_apart(three: Path) -> None:
    parts = (
        "--sites",
        str(three / "sites.csv"),
        "--weather",
        str(three / "weather"),
        "--out",
        str(three / "o"),
    )
    for more in (
        ("--backtest", "--species", "Acer palmatum", "--jobs", "repotting"),
        ("--species", "Acer palmatum", "--jobs", "repotting", "--events", str(three / "events.csv")),
        ("--species", "Acer palmatum"),
    ):
        told = run("batch", *parts, *more)
        assert told.exit_code == 2
        assert "--" in told.stderr
        assert not (three / "o").exists()
