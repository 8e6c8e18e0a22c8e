"""Nothing dated after the day judged may change what is said: cutting there gives the same answer."""

from __future__ import annotations

import csv
import datetime as dt
import io
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from season_engine.cli import main
from season_engine.documents.report import report_document
from season_engine.pipeline import make_report
from season_engine.prints.report import report_text
from season_engine.workspace.workspace import load_workspace
from tests.workspaces import make_workspace

HEADER = "date,site,tree,species,bbch,job,note,facts,entered,withdraws\n"
# Stages and jobs entered late, taken back, and taken back before they were of any use; trees that went.
LINES = """2020-03-28,nagano,m1,,01,,buds fat,,,
2021-03-02,nagano,m1,,01,,a slip,none,2021-03-02,
2021-03-02,nagano,m1,,01,,a slip,none,2021-03-20,yes
2021-04-12,nagano,p1,,,repotting,a third of the root ball,,,
2018-04-12,nagano,m1,,01,,found in an old diary,none,2022-02-03,
2022-07-20,nagano,p1,,,decandling,,amount heavy,2022-09-01,
2022-07-20,nagano,p1,,,decandling,,amount heavy,2023-01-15,yes
2022-06-01,nagano,m1,,,,,weak,2023-03-01,
2023-04-01,nagano,m1,,09,,green tips,,,
2019-05-01,nagano,p2,,,,gone with the frost,dead,2023-06-01,
"""
TREES = """id,name,site,species,size,last_repotted,vigour,shelter,arrived,arrived_from,collected,dead
p1,Kettle,nagano,Pinus thunbergii,large,2019-04-02,normal,no,2018,New Zealand,2017-03,
p2,Thimble,nagano,Pinus thunbergii,small,2021-04-10,weak,yes,,,,
m1,Rust,nagano,Japanese maple,medium,2018-03-20,normal,yes,2020-02,,,
m2,Leaf,nagano,Japanese maple,small,,normal,yes,,,,2022-08
"""


def make(folder: Path, cut_on: dt.date | None = None) -> Path:
    """A workspace of such trees and notes; with `cut_on`, its files as they stood on that day."""
    make_workspace(folder, cut_on=cut_on)
    for name, text, days in (
        ("journal.csv", HEADER + LINES, ("date", "entered")),
        ("trees.csv", TREES, ("last_repotted", "arrived", "collected", "dead")),
    ):
        rows = list(csv.DictReader(io.StringIO(text)))
        if cut_on is not None and name == "journal.csv":
            rows = [row for row in rows if max(row[one] for one in days) <= cut_on.isoformat()]
        elif cut_on is not None:
            rows = [{key: known(key, value, days, cut_on) for key, value in row.items()} for row in rows]
        with (folder / name).open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, text.partition("\n")[0].split(","))
            writer.writeheader()
            writer.writerows(rows)
    return folder


def known(column: str, value: str, days: tuple[str, ...], on: dt.date) -> str:
    """A value of trees.csv, unless it is a day to come; a month or a year alone counts as its first day."""
    return "" if column in days and f"{value}-01-01"[:10] > on.isoformat() else value


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make(tmp_path_factory.mktemp("whole"))


@settings(max_examples=2, suppress_health_check=[HealthCheck.too_slow])
@given(on=st.dates(dt.date(2016, 1, 1), dt.date(2025, 12, 31)))
def test_what_comes_later_changes_nothing(
    whole: Path, tmp_path_factory: pytest.TempPathFactory, on: dt.date
) -> None:
    cut = make(tmp_path_factory.mktemp("cut"), on)
    with_future, without = (report(folder, on) for folder in (whole, cut))
    assert with_future == without


# Each day lies between an entry and what it tells of, or beside a withdrawal.
@pytest.mark.parametrize(
    ("day", "asked"),
    [
        ("2021-03-10", ("repotting", "Japanese maple")),
        ("2022-08-20", ("decandling", "Kettle", "--json")),
        ("2023-02-01", ("repotting", "Thimble")),
    ],
)
def test_what_is_entered_late_or_taken_back_later_changes_nothing(
    whole: Path, tmp_path: Path, day: str, asked: tuple[str, ...]
) -> None:
    on = dt.date.fromisoformat(day)
    cut = make(tmp_path / "cut", on)
    assert report(whole, on) == report(cut, on)
    for command in (("journal", "list", "--all", "--json"), ("check", *asked)):
        said = [
            CliRunner().invoke(main, [*command, "--workspace", str(folder), "--on", day])
            for folder in (whole, cut)
        ]
        told = [(result.exit_code, result.stdout, result.stderr) for result in said]
        assert told[0] == told[1]


def test_the_cuts_are_seen(tmp_path: Path) -> None:
    """A late entry and a line taken back do change what is said once they are there."""
    told = [
        CliRunner()
        .invoke(
            main,
            [
                "journal",
                "list",
                "--all",
                "--workspace",
                str(make(tmp_path / "cut", on)),
                "--on",
                "2023-12-31",
            ],
        )
        .stdout
        for on in (dt.date(2021, 3, 10), dt.date(2021, 3, 25), dt.date(2023, 12, 31))
    ]
    assert ["Taken back" in text for text in told] == [False, True, True]
    assert ["old diary" in text for text in told] == [False, False, True]


def report(folder: Path, on: dt.date) -> tuple[object, str]:
    workspace = load_workspace(folder)
    made = make_report(workspace, workspace.sites, on)
    return report_document(made), report_text(made)
