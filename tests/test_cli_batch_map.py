"""`batch-map` as it is called."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.maps.whats import WHATS
from tests.made_country import ON, a_row, country, scattered, write_batch
from tests.test_structure import HEAVY, PROJECT, run_cli

THREE = ("--out", "map.png", "--out", "map.geojson", "--out", "map.nc")
BEGINS = {"map.png": b"\x89PNG\r\n", "map.geojson": b'{"type":"FeatureCollection"', "map.nc": b"\x89HDF"}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    write_batch(tmp_path / "cells", country(step=3.0))
    write_batch(tmp_path / "yards", scattered(25))
    return tmp_path


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(main, ["batch-map", *arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def test_three_kinds_of_file_are_written_in_one_call(folder):
    result = run("cells", *THREE, "--width", "400")
    assert result.exit_code == 0, result.stderr
    written = [f"wrote {folder / name}" for name in ("map.png", "map.geojson", "map.nc")]
    assert result.stderr.splitlines() == written
    assert result.stdout == ""
    for name, begins in BEGINS.items():
        assert (folder / name).read_bytes().startswith(begins)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("cells", "--out", "map.pdf"), '"map.pdf" ends in none of .png, .geojson, .nc'),
        (("cells",), "Missing option '--out'"),
        (("nowhere", "--out", "map.png"), "nowhere: There is no such folder."),
        (("cells", "--species", "Acer palmatun", "--out", "map.png"), 'Did you mean "Acer palmatum"?'),
        (("cells", "--job", "wiring", "--out", "map.png"), 'this batch has no job "wiring" here.'),
        (("cells", "--show", "closes", "--out", "map.png"), "'closes' is not one of"),
        (("yards", "--show", "monday", "--out", "map.png"), "there is nothing to draw: of 25 sites"),
        (("yards", "--out", "map.png", "--out", "map.nc"), "NetCDF is written of grids"),
        (("cells", "--width", "9", "--out", "map.png"), "400<=x<=8000"),
        (
            ("cells", "--out", "cells/_run.json/map.png"),
            "cells/_run.json/map.png: nothing can be written here",
        ),
    ],
)
def test_a_wrong_call_is_told_and_writes_nothing(folder, arguments, told):
    before = sorted(folder.rglob("*"))
    result = run(*arguments)
    assert result.exit_code == 2
    assert told in result.stderr
    assert sorted(folder.rglob("*")) == before


def test_a_run_that_is_not_finished_is_told(folder):
    (folder / "yards" / "_run.json").write_text(json.dumps({"on": ON.isoformat(), "blocks": 3}), "utf-8")
    result = run("yards", "--out", "map.geojson")
    assert result.exit_code == 0
    assert "Not whole: blocks of this batch that are not there yet: 2." in result.stderr
    assert json.loads((folder / "map.geojson").read_text("utf-8"))["missing_blocks"] == 2


def test_a_map_in_german(folder):
    from PIL import Image

    assert run("yards", "--language", "de", "--width", "400", "--out", "map.png").exit_code == 0
    assert Image.open(folder / "map.png").text["Title"] == "Fächer-Ahorn, Umtopfen (Frühling): Öffnungstage"


def test_files_for_programs_draw_nothing(folder):
    """The library that draws is imported for pictures alone."""
    done, imported = run_cli(folder, "batch-map", "yards", "--out", "map.geojson")
    assert done.returncode == 0, done.stderr
    assert imported & HEAVY <= {"pyarrow", "pandas"}


def test_windows_are_named_where_there_are_several(folder):
    rows = [a_row("a", 45, 5, ON, window=window) for window in ("spring", "late summer")]
    write_batch(folder / "two", rows)
    result = run("two", "--out", "map.geojson")
    assert result.exit_code == 2
    assert "say which window with --window: this batch has several." in result.stderr
    assert run("two", "--window", "late-summer", "--out", "map.geojson").exit_code == 0


def test_the_guide_keeps_its_word(folder):
    """Its calls work, and its table names what can be shown."""
    guide = (PROJECT / "docs" / "maps.md").read_text("utf-8")
    calls = re.findall(r"^season-engine batch-map (.+)$", guide, re.MULTILINE)
    assert len(calls) == 2
    for call in calls:
        result = run(*shlex.split(call.replace("run ", "cells ")))
        assert result.exit_code == 0, result.stderr
    shown = re.findall(r"^\| `(\w[\w-]+)` \|", guide, re.MULTILINE)
    assert tuple(shown) == WHATS
