"""Input a grower may well bring: a short message with the place, an exit code, nothing half written."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from tests.workspaces import make_workspace


def lines_changed(change: Callable[[list[str]], list[str]]) -> Callable[[Path], None]:
    def edit(folder: Path) -> None:
        path = folder / "nagano.csv"
        path.write_text("\n".join(change(path.read_text("utf-8").splitlines())) + "\n", encoding="utf-8")

    return edit


def toml_changed(old: str, new: str) -> Callable[[Path], None]:
    def edit(folder: Path) -> None:
        path = folder / "season.toml"
        path.write_text(path.read_text("utf-8").replace(old, new), encoding="utf-8")

    return edit


def with_line(lines: list[str], number: int, text: str) -> list[str]:
    lines[number - 1] = text
    return lines


CASES = {
    "missing column": (
        lines_changed(lambda lines: with_line(lines, 1, "date,tmin,sunshine")),
        2,
        'nagano.csv, line 1: there is no "tmax" column.',
    ),
    "text in a number": (
        lines_changed(lambda lines: with_line(lines, 500, "1977-05-14,5.0,1O.5")),
        2,
        'nagano.csv, line 500, tmax: "1O.5" is not a number.',
    ),
    "tmin above tmax": (
        lines_changed(lambda lines: with_line(lines, 500, "1977-05-14,15.0,4.0")),
        2,
        "nagano.csv, line 500, tmin: the lowest temperature, 15.0, is above the highest, 4.0.",
    ),
    "twice": (
        lines_changed(lambda lines: [*lines[:100], f"{lines[99][:10]},-9.0,30.0", *lines[100:]]),
        2,
        "nagano.csv, line 101, date:",
    ),
    "empty": (lines_changed(lambda _lines: []), 2, "nagano.csv"),
    "wrong encoding": (
        lambda folder: (folder / "nagano.csv").write_bytes(bytes(range(128, 256)) * 20) and None,
        2,
        "nagano.csv, line",
    ),
    "latitude 123": (
        toml_changed("latitude = 36.66", "latitude = 123"),
        2,
        "season.toml, line 6, site.latitude: latitude must lie between -90 and 90; got 123.",
    ),
    "two years": (
        lines_changed(lambda lines: [lines[0], *(x for x in lines if x[:4] in ("2023", "2024"))]),
        3,
        "at least 5 are needed",
    ),
    "no file": (
        lambda folder: (folder / "nagano.csv").unlink(),
        3,
        "nagano.csv: this logger file does not exist.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize(
    "command", [("report",), ("check", "repotting", "--species", "Acer palmatum")], ids=["report", "check"]
)
def test_a_message_with_the_place_and_nothing_half_written(tmp_path: Path, name: str, command) -> None:
    edit, code, said = CASES[name]
    folder = make_workspace(tmp_path / "yard")
    edit(folder)
    result = CliRunner().invoke(main, [*command, "--workspace", str(folder), "--on", "2024-12-20"])
    assert result.exit_code == code
    assert isinstance(result.exception, SystemExit)
    assert said in " ".join(result.stderr.split())
    assert result.stdout == ""
    assert not list((folder / "reports").glob("2*")), "no report of this week, whole or half"


@pytest.mark.parametrize(
    "trees", [None, "m1,Rust,nagano,Japanese maple,medium,nursery,2018-03-20,normal,yes,"]
)
def test_a_report_on_no_tree_or_one_says_something_and_nothing_twice(
    tmp_path: Path, trees: str | None
) -> None:
    folder = make_workspace(tmp_path / "yard", since="1994")
    (folder / "journal.csv").unlink()
    header = (folder / "trees.csv").read_text("utf-8").splitlines()[0]
    (folder / "trees.csv").write_text("\n".join(filter(None, [header, trees])) + "\n", encoding="utf-8")
    assert (
        CliRunner().invoke(main, ["report", "--workspace", str(folder), "--on", "2024-03-25"]).exit_code == 0
    )
    text = next((folder / "reports").glob("2*/report.txt")).read_text("utf-8")
    first, full = text.split("nagano in full")
    assert ("Work first" in first or "Due, but wait" in first) and len(first.splitlines()) <= 45
    assert len(full.splitlines()) <= (95 if trees else 265)
    paragraphs = [" ".join(part.split()) for part in re.split(r"\n  - |\n\n", full)]
    told = [part for part in paragraphs if len(part) > 40]
    assert len(told) == len(set(told))
    assert ("Your trees" in full) == (trees is not None)
    assert ("No trees are listed" in full) == (trees is None)
    assert "None" not in text and "no trees" not in text


def test_a_site_at_the_equator_is_answered_without_a_winter(tmp_path: Path) -> None:
    folder = make_workspace(tmp_path / "yard")
    rows = (folder / "nagano.csv").read_text("utf-8").splitlines()
    warm = [f"{row[:10]},{22 + int(row[8:10]) % 5 / 5},{30 + int(row[8:10]) % 7 / 7}" for row in rows[1:]]
    (folder / "nagano.csv").write_text("\n".join([rows[0], *warm]), encoding="utf-8")
    toml_changed("latitude = 36.66", "latitude = 0.0")(folder)
    arguments = ["--workspace", str(folder), "--on", "2024-12-20"]
    larch = CliRunner().invoke(main, ["check", "repotting", "--species", "larch", *arguments])
    assert larch.exit_code == 12
    assert "cold enough" in " ".join(larch.stdout.split())
    fig = CliRunner().invoke(main, ["check", "repotting", "--species", "Ficus microcarpa", *arguments])
    assert fig.exit_code in (0, 10, 11, 13)
    assert CliRunner().invoke(main, ["report", *arguments]).exit_code == 0
