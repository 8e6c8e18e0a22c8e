"""What the docs show in Python runs as it stands, in its order; plots where there is matplotlib."""

from __future__ import annotations

import ast
import importlib.util
import json
import shlex
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from click.testing import CliRunner

import season_engine as se
from season_engine.cli import main
from tests.shown import BLOCK, PROJECT

PAGE = PROJECT / "docs" / "python.md"
NOTEBOOK = PROJECT / "docs" / "python-tutorial.ipynb"
DRAWS = importlib.util.find_spec("matplotlib") is not None
PNG = "iVBORw0KGgo"  # how every PNG begins, in base 64


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MPLBACKEND", "agg")
    return tmp_path


def run(code: str, names: dict[str, Any]) -> Any:
    """Run a piece of code; what its last line gives, if that is an expression."""
    body = ast.parse(code).body
    last = body.pop() if isinstance(body[-1], ast.Expr) else None
    exec(compile(ast.Module(body, []), "docs", "exec"), names)
    return None if last is None else eval(compile(ast.Expression(last.value), "docs", "eval"), names)


def run_all(pieces: Iterable[str], names: dict[str, Any]) -> list[Any]:
    """Run them in one session; those that draw stand alone, and are left out where nothing can."""
    found = []
    for code in pieces:
        if ".plot(" in code:
            assert len(ast.parse(code).body) == 1, "what else it does would be left out too"
        if DRAWS or ".plot(" not in code:
            found.append(run(code, names))
    return found


def test_the_packages_lines(folder: Path) -> None:
    yard = se.Site("yard", -37.8, 145.0)
    se.demo_weather(yard, on="2026-08-10").to_frame()[["tmin_c", "tmax_c"]].to_csv("yard.csv")
    code = "\n".join(line[4:] for line in (se.__doc__ or "").splitlines() if line.startswith("    "))
    frame = run(code, {})
    assert set(frame["species"]) == {"Acer palmatum"}
    assert {"repotting", "defoliation"} <= set(frame["job"])


def test_the_page_runs_from_top_to_bottom(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names: dict[str, Any] = {}
    for language, code in BLOCK.findall(PAGE.read_text("utf-8")):
        if language == "python":
            run_all([code], names)
        elif code.startswith("season-engine "):
            done = CliRunner().invoke(main, shlex.split(code)[1:])
            assert done.exit_code == 0, done.output
    assert names["then"].season == "2025/26"
    assert len(names["workspace"].trees) == 2
    assert names["warm"].index[0] == pd.Timestamp("2025-12-01")
    assert list(names["weeks"]) == ["chance", "usual"]
    assert 'Did you mean "Acer palmatum"?' in capsys.readouterr().out


def test_the_page_names_all_there_is() -> None:
    page = PAGE.read_text("utf-8")
    assert [name for name in se.__all__ if f"`{name}" not in page] == []
    for figure in ("python-chill.png", "python-window.png"):
        assert f"({figure})" in page
        assert (PAGE.parent / figure).read_bytes().startswith(b"\x89PNG")


def test_the_notebook_runs_and_holds_its_results(folder: Path) -> None:
    cells = json.loads(NOTEBOOK.read_text("utf-8"))["cells"]
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    frames = [one for one in run_all(["".join(cell["source"]) for cell in code], {}) if one is not None]
    assert [type(one) for one in frames if isinstance(one, pd.DataFrame)] == [pd.DataFrame] * 2
    assert [cell["execution_count"] for cell in code] == [*range(1, len(code) + 1)]
    kept = [output for cell in code for output in cell["outputs"]]
    assert all(output["output_type"] in ("display_data", "execute_result") for output in kept), (
        "no fault, no noise"
    )
    drawn = [one["data"]["image/png"] for one in kept if "image/png" in one["data"]]
    assert len(drawn) == sum(".plot(" in "".join(cell["source"]) for cell in code) == 2
    assert all(one.startswith(PNG) for one in drawn)
    assert sum("text/html" in one["data"] for one in kept) == 2
    assert "invented" in "".join(cells[0]["source"])
