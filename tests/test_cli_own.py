"""Reports that keep what they said, and `backtest --own` that holds it against what came."""

from __future__ import annotations

import csv
import json
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands import clock
from season_engine.verify.own_score import OwnScore
from season_engine.words.own_record import own_record_sentence
from season_engine.workspace.workspace import load_workspace
from tests.schemas import assert_valid
from tests.workspaces import PLACE, demo_report, make_workspace


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, [*arguments])


def report(folder: Path, on: str, *arguments: str) -> Result:
    return run("report", "--workspace", str(folder), "--on", on, *arguments)


def on_the_day(monkeypatch: pytest.MonkeyPatch, day: str) -> None:
    monkeypatch.setenv(clock.VARIABLE, f"{day}T06:00:00")


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three reports in the weeks before spring, written on their days."""
    folder = make_workspace(tmp_path_factory.mktemp("own") / "yard")
    with (folder / "trees.csv").open("a", encoding="utf-8") as file:
        for tree, species in (("l1", "Larix decidua"), ("e1", "Ulmus parvifolia"), ("t1", "trident maple")):
            file.write(f"{tree},,nagano,{species},,,,,,\n")
    with pytest.MonkeyPatch.context() as patch:
        for day in ("2024-02-05", "2024-02-19", "2024-03-11"):
            on_the_day(patch, day)
            assert report(folder, day).exit_code == 0
    return folder


def test_past_reports_are_scored(yard: Path, tmp_path: Path) -> None:
    call = ("backtest", "--own", "--workspace", str(yard), "--on", "2024-09-01")
    done = run(*call, "--json", "--out", str(tmp_path))
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    assert_valid(document, "backtest")
    assert document["own"] | {"together": []} == {
        "reports": 3,
        "first": "2024-02-05",
        "last": "2024-03-11",
        "written_later": 0,
        "torn": 0,
        "together": [],
    }
    assert {row["came_by"] for row in document["rows"]} == {"weather"}
    for band in document["own"]["together"]:
        rows = [row for row in document["rows"] if row["lead_weeks"] == band["lead_weeks"]]
        assert sum(row["n"] for row in rows) == band["n"]
        assert sum(row["n"] * row["mae"] for row in rows) == pytest.approx(band["n"] * band["mae"], abs=0.01)
    with (tmp_path / "cases.csv").open(encoding="utf-8", newline="") as file:
        cases = list(csv.DictReader(file))
    assert {case["as_of"] for case in cases} <= {"2024-02-05", "2024-02-19", "2024-03-11"}
    assert all(int(case["weeks_ahead"]) <= 6 for case in cases)
    text = run(*call).stdout
    assert "Three reports from Mon 5 Feb 2024 to Mon 11 Mar 2024" in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_the_report_tells_of_it_in_one_sentence(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    on_the_day(monkeypatch, "2025-06-01")  # so that this one, of an earlier day, is no foresight
    done = report(yard, "2024-09-02", "--json")
    document = json.loads(done.stdout)
    assert_valid(document, "report")
    score = document["sites"][0]["own_record"]
    assert score["n"] >= 5
    told = own_record_sentence(OwnScore(**score))
    text = (yard / "reports" / "2024-W36" / "report.txt").read_text("utf-8")
    assert told in " ".join(text.split())
    page = unescape((yard / "reports" / "2024-W36" / "report.html").read_text("utf-8"))
    assert told in " ".join(page.split())
    early = json.loads(report(yard, "2024-03-12", "--json").stdout)["sites"][0]
    assert early["own_record"] is None  # nothing was past by then
    own = json.loads(
        run("backtest", "--own", "--workspace", str(yard), "--on", "2024-09-03", "--json").stdout
    )
    assert (own["own"]["reports"], own["own"]["written_later"]) == (3, 2)


def test_nothing_is_old_enough_yet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = make_workspace(tmp_path / "yard")
    on_the_day(monkeypatch, "2024-09-02")
    assert report(folder, "2024-09-02").exit_code == 0
    call = ("backtest", "--own", "--workspace", str(folder), "--on", "2024-09-02")
    done = run(*call)
    assert done.exit_code == 0
    assert "No report is old enough yet" in " ".join(done.stdout.split())
    document = json.loads(run(*call, "--json").stdout)
    assert_valid(document, "backtest")
    assert document["rows"] == []
    assert run(*call, "--train-until", "2000").exit_code == 2


def test_invented_weather_is_not_kept(tmp_path: Path) -> None:
    demo = demo_report()
    assert (demo.exit_code, demo.kept) == (0, False)
    assert run("init", str(tmp_path / "new"), *PLACE, "--tree", "trident maple").exit_code == 0
    assert report(tmp_path / "new", "2024-09-02").exit_code == 0
    assert not load_workspace(tmp_path / "new").record_file.exists()
    done = run("backtest", "--own", "--workspace", str(tmp_path), "--json")
    assert (done.exit_code, json.loads(done.stdout)["rows"]) == (0, [])


def test_a_record_that_cannot_be_written_stops_no_report(tmp_path: Path) -> None:
    folder = make_workspace(tmp_path / "yard")
    load_workspace(folder).record_file.mkdir(parents=True)
    done = report(folder, "2024-09-02", "--out", str(tmp_path / "out"))
    assert done.exit_code == 0
    assert "can't be added to record.jsonl" in done.stderr
    assert (tmp_path / "out" / "2024-W36" / "report.txt").exists()


@pytest.mark.parametrize(
    ("score", "told"),
    [
        (
            OwnScore(34, 3.2, 27, 0),
            "of 34 openings foreseen two to six weeks ahead, the date was three days out",
        ),
        (OwnScore(34, 3.2, 27, 0), "27 of the 34 fell in the range given (held against the same rules"),
        (
            OwnScore(8, 0.6, 8, 8),
            "one day out on average, and all of the eight fell in the range given (held",
        ),
        (OwnScore(8, 0.3, 8, 8), "less than a day out on average"),
        (OwnScore(8, 4.0, 5, 3), "(three held against your notes, the others against the same rules"),
    ],
)
def test_the_sentence(score: OwnScore, told: str) -> None:
    assert told in own_record_sentence(score)
