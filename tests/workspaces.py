"""Workspaces on disk, as a grower would keep them, for tests."""

from __future__ import annotations

import csv
import datetime as dt
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.commands import report_run
from season_engine.pipeline import make_report
from season_engine.report.contents import Report
from season_engine.workspace.workspace import SiteEntry, Workspace, load_workspace
from tests.once import once_a_run

STATIONS = Path(__file__).parent / "data" / "japan"

SETTINGS = """
units = "degC"

[[site]]
name = "nagano"
latitude = 36.66
longitude = 138.19
elevation_m = 418

[site.weather]
source = "logger"
file = "nagano.csv"
"""

KAGOSHIMA = """
[[site]]
name = "kagoshima"
latitude = 31.55
longitude = 130.55
elevation_m = 4

[site.weather]
source = "logger"
file = "kagoshima.csv"
"""

TREES = """id,name,site,species,size,origin,last_repotted,vigour,shelter,notes
p1,Kettle,nagano,Pinus thunbergii,large,collected,2019-04-02,normal,no,
p2,Thimble,nagano,Pinus thunbergii,small,nursery,2021-04-10,weak,yes,
m1,Rust,nagano,Japanese maple,medium,nursery,2018-03-20,normal,yes,
u1,Stranger,nagano,Nothing known,medium,,,,,
"""

JOURNAL = """date,site,tree,species,bbch,job,note
2020-03-28,nagano,m1,,01,,buds fat
2021-04-12,nagano,p1,,,repotting,a third of the root ball
2022-07-20,nagano,p1,,,decandling,
2023-04-01,nagano,m1,,09,,green tips
"""


FACTS = "what the demo's report is made of"
SINCE = "2008"  # a dozen years before the days most tests ask of: as many traces, read and reckoned sooner
PLACE = ("--latitude", "-45", "--longitude", "169")  # of a yard for `init`, in the middle of nowhere


def make_workspace(folder: Path, *, cut_on: dt.date | None = None, since: str = SINCE) -> Path:
    """A workspace on a real station's readings from a year on; with `cut_on`, all files end with that day."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "season.toml").write_text(SETTINGS, encoding="utf-8")
    (folder / "trees.csv").write_text(TREES, encoding="utf-8")
    (folder / "journal.csv").write_text(JOURNAL, encoding="utf-8")
    copy_station("nagano", folder, since)
    if cut_on is not None:
        for name in ("nagano.csv", "journal.csv"):
            _keep(folder / name, lambda row: row["date"] <= cut_on.isoformat())
        _keep(folder / "trees.csv", lambda _row: True, cut_on.isoformat())
    return folder


def copy_station(name: str, folder: Path, since: str = SINCE) -> None:
    """A station's readings from a year on."""
    header, *rows = (STATIONS / f"{name}.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = "".join([header, *(row for row in rows if row >= since)])
    (folder / f"{name}.csv").write_text(kept, encoding="utf-8")


@dataclass(frozen=True)
class DemoReport:
    """What `report --json` said and left where there was no workspace."""

    exit_code: int
    stdout: str
    stderr: str
    files: dict[str, str]  # the week's page, text and calendars
    kept: bool  # whether what it said went into the record


def demo_report() -> DemoReport:
    """The demo's of Monday 30 March 2026, made once a run."""

    def make() -> DemoReport:
        with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
            patch.setattr(report_run, "make_report", _kept)
            call = ["report", "--workspace", folder, "--on", "2026-03-30", "--json"]
            done = CliRunner().invoke(main, call)
            week = Path(folder) / "reports" / "2026-W14"
            names = "report.html", "report.txt", "season-calendar.ics", "season-windows.ics"
            files = {name: (week / name).read_bytes().decode("utf-8") for name in names}
            kept = load_workspace(Path(folder)).record_file.exists()
        return DemoReport(done.exit_code, done.stdout, done.stderr, files, kept)

    return once_a_run("demo_report", make)


def demo_facts() -> Report:
    """What that report was printed from."""
    demo_report()
    return once_a_run(FACTS, lambda: pytest.fail("the demo's report was made of nothing"))


def _kept(workspace: Workspace, entries: Iterable[SiteEntry], on: dt.date) -> Report:
    """As the pipeline makes it."""
    return once_a_run(FACTS, lambda: make_report(workspace, entries, on))


def make_two_yards(folder: Path, *, cut_on: dt.date | None = None, twin: bool = False) -> Path:
    """The same with a second station, and with a third site that is a twin of the first, if wanted."""
    make_workspace(folder, cut_on=cut_on)
    third = SETTINGS[SETTINGS.index("[[site]]") :].replace('"nagano"', '"twin"') if twin else ""
    (folder / "season.toml").write_text(SETTINGS + KAGOSHIMA + third, encoding="utf-8")
    copy_station("kagoshima", folder)
    if cut_on is not None:
        _keep(folder / "kagoshima.csv", lambda row: row["date"] <= cut_on.isoformat())
    return folder


def _keep(path: Path, wanted, forget_after: str = "") -> None:
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        if forget_after and row.get("last_repotted", "") > forget_after:
            row["last_repotted"] = ""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(row for row in rows if wanted(row))
