"""Invented weather is called so wherever it goes, and real weather never: on disk, on screen, in the mail."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands import clock
from season_engine.delivery.message import compose, subject
from season_engine.pipeline import make_report
from season_engine.report.contents import Report
from tests.schemas import assert_valid
from tests.workspaces import PLACE, make_two_yards

ON = "2024-03-30"
MAPLE = ("--species", "Acer palmatum")
CALENDARS = ("season-calendar.ics", "season-windows.ics")
WRITTEN = ("report.html", "report.txt", "windows.csv", *CALENDARS)
SECOND = """
[[site]]
name = "upper-yard"
latitude = -45.5
longitude = 169
weather.source = "demo"
"""


def run(folder: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(main, [*arguments, "--workspace", str(folder), "--on", ON])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def outputs(
    folder: Path, first: str, second: str, patch: pytest.MonkeyPatch
) -> tuple[dict[str, str], list[Any]]:
    """All that is said of two yards as text, by where it stands, and the marks in all JSON documents.

    Each yard has one tree, to be quick.
    """
    trees = [f"{site}-1,{site},Acer palmatum\n" for site in (first, second)]
    (folder / "trees.csv").write_text("".join(["id,site,species\n", *trees]), "utf-8")
    (folder / "journal.csv").write_text("date,site,tree,species,bbch,job,note\n", "utf-8")
    made: list[Report] = []
    patch.setattr(
        "season_engine.commands.report_run.make_report",
        lambda *call: made.append(make_report(*call)) or made[0],
    )
    texts: dict[str, str] = {}
    marks: list[Any] = []
    report = run(folder, "report", "--json")
    assert report.exit_code == 0, report.stderr
    week = folder / "reports" / "2024-W13"
    texts |= {name: (week / name).read_text("utf-8") for name in WRITTEN}
    texts["index.html"] = (folder / "reports" / "index.html").read_text("utf-8")
    said = {
        "check": ("check", "repotting", *MAPLE, "--site", first),
        "compare": ("compare", first, second, *MAPLE, "--job", "repotting"),
        "weather": ("weather",),
        "species": ("species", "Acer palmatum"),
    }
    documents = {"report": json.loads(report.stdout)}
    for name, call in said.items():
        texts[name] = run(folder, *call).stdout
        documents[name] = json.loads(run(folder, *call, "--json").stdout)
    for name, document in documents.items():
        assert_valid(document, name)
        own = [document["invented_weather"]] if "invented_weather" in document else []
        marks += own + [site["invented_weather"] for site in document.get("sites", ())]
    marks += [
        window["invented_weather"] for site in documents["report"]["sites"] for window in site["windows"]
    ]
    texts["measures"] = run(folder, "measures", "--site", first, "--from", ON).stderr
    texts["subject"] = subject(made[0])
    mail = compose(made[0], sender="a@example.org", to="b@example.org", again=0, now=clock.now())
    texts["mail, text"], texts["mail, page"] = (
        mail.get_body((kind,)).get_content() for kind in ("plain", "html")
    )
    return texts, marks


def test_a_new_workspace_says_so_everywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "new"
    made = CliRunner().invoke(main, ["init", str(folder), *PLACE, "--tree", "2 Acer palmatum"])
    assert made.exit_code == 0
    assert "invented" in made.stderr
    settings = folder / "season.toml"
    settings.write_text(
        settings.read_text("utf-8").replace("# A second yard", SECOND + "# A second yard"), "utf-8"
    )
    texts, marks = outputs(folder, "my-yard", "upper-yard", monkeypatch)
    assert [name for name, text in texts.items() if "invented" not in text] == []
    assert len(marks) > 8 and set(marks) == {True}
    sent = run(folder, "report", "--email", "--dry-run")
    assert (sent.exit_code, "is invented, so no report is sent" in sent.stderr) == (2, True)
    rows = texts["windows.csv"].splitlines()
    assert rows[0].endswith(",weather") and all(row.endswith(",invented") for row in rows[1:])
    for name in CALENDARS:
        events = texts[name].replace("\n ", "").split("BEGIN:VEVENT")[1:]
        assert events
        assert all("(invented weather)" in event for event in events)


def test_real_weather_is_never_called_invented(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = make_two_yards(tmp_path)
    texts, marks = outputs(folder, "nagano", "kagoshima", monkeypatch)
    assert [name for name, text in texts.items() if "invented" in text] == []
    assert len(marks) > 8 and set(marks) == {False}
