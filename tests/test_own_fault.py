"""A fault of the program's own: two lines, the details in a file, nothing half written, no trace shown."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from season_engine import pipeline
from season_engine.cli import main
from season_engine.commands import measures, own_fault
from season_engine.commands.own_fault import DETAILS
from tests.workspaces import make_workspace


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_workspace(tmp_path_factory.mktemp("yard"))


def failing(monkeypatch: pytest.MonkeyPatch, error: BaseException, folder: Path, *more: str) -> Result:
    """What `weather` says where something in it raises this error."""

    def broken(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(pipeline, "read_weather_ahead", broken)
    return CliRunner().invoke(main, ["weather", "--workspace", str(folder), *more])


def test_two_lines_and_the_trail_in_the_workspace(monkeypatch: pytest.MonkeyPatch, yard: Path) -> None:
    found = failing(monkeypatch, KeyError("broken within"), yard, "--json")
    assert (found.exit_code, found.stdout) == (1, "")
    what, where = found.stderr.splitlines()
    assert "a fault of its own, not of yours (KeyError)" in what
    assert str(yard / DETAILS) in where
    details = (yard / DETAILS).read_text("utf-8")
    assert "KeyError: 'broken within'" in details and "in broken" in details
    assert isinstance(found.exception, SystemExit)
    failing(monkeypatch, IndexError("another"), yard)
    assert "another" in (yard / DETAILS).read_text("utf-8")
    assert "broken within" not in (yard / DETAILS).read_text("utf-8"), "the last one only"
    assert not list(yard.glob(f".{DETAILS}*"))


def test_where_the_workspace_cant_be_written_it_is_in_the_temporary_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, yard: Path
) -> None:
    monkeypatch.setattr(own_fault.tempfile, "tempdir", str(tmp_path))

    def refuses(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(own_fault, "write_whole", refuses)
    found = failing(monkeypatch, ValueError("caf\udce9"), yard)  # as a broken file name would be repeated
    (file,) = tmp_path.glob("season-engine-error-*.log")
    assert str(file) in found.stderr and "ValueError: caf\\udce9" in file.read_text("utf-8")
    assert len(found.stderr.splitlines()) == 2


def test_where_it_can_be_written_nowhere_the_details_are_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, yard: Path
) -> None:
    monkeypatch.setattr(own_fault.tempfile, "tempdir", str(tmp_path / "gone"))
    monkeypatch.setattr(own_fault, "DETAILS", "x" * 300)  # no such name can be made
    found = failing(monkeypatch, ValueError("broken within"), yard)
    assert found.exit_code == 1
    assert "ValueError: broken within" in found.stderr


def test_what_the_machine_refuses_is_no_fault_of_the_program(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    folder = make_workspace(tmp_path / "yard")
    found = failing(monkeypatch, OSError(28, "No space left on device", "reports"), folder)
    assert found.exit_code == 2
    assert found.stderr == "reports: This can't be read or written: No space left on device.\n"
    assert not (folder / DETAILS).exists()
    lost = failing(monkeypatch, FileNotFoundError(2, "No such file", "page.html"), folder)  # one of ours
    assert lost.exit_code == 1


@pytest.mark.parametrize(
    ("error", "code", "said"),
    [
        (click.UsageError("say which"), 2, "say which"),
        (click.Abort(), 1, "Aborted!"),
        (click.exceptions.Exit(7), 7, ""),
        (KeyboardInterrupt(), 1, "Aborted!"),
        (SystemExit(13), 13, ""),
        (BrokenPipeError(32, "Broken pipe"), 1, ""),
    ],
    ids=lambda value: type(value).__name__,
)
def test_what_is_no_fault_is_left_as_it_was(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, error: BaseException, code: int, said: str
) -> None:
    folder = make_workspace(tmp_path / "yard")
    found = failing(monkeypatch, error, folder)
    assert found.exit_code == code
    assert said in found.stderr and "fault of its own" not in found.stderr
    assert not (folder / DETAILS).exists()


def test_a_reader_that_has_seen_enough_is_no_fault(tmp_path: Path) -> None:
    """As `| head` closes its end; the table is longer than a pipe holds."""
    call = [sys.executable, "-c", "from season_engine.cli import main; main()", "measures"]
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parent.parent)}
    with subprocess.Popen(
        [*call, "--site", "dune-yard"],
        cwd=tmp_path,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as run:
        assert run.stdout is not None and run.stderr is not None
        run.stdout.readline()
        run.stdout.close()
        said = run.stderr.read()
    assert said.splitlines() == [
        "No season.toml here: this is the embedded demo, and its weather is invented."
    ]
    assert not list(tmp_path.iterdir())


def test_a_table_in_a_place_that_cant_be_is_the_growers_to_mend(yard: Path) -> None:
    assert measures.command.name == "measures"
    place = yard / "nagano.csv" / "measures.csv"  # below a file
    found = CliRunner().invoke(main, ["measures", "--workspace", str(yard), "--csv", str(place)])
    assert found.exit_code == 2
    assert "measures.csv: nothing can be written here" in found.stderr


@pytest.mark.parametrize("on", ["0001-01-01", "1849-12-31", "2200-01-01", "9999-12-31"])
@pytest.mark.parametrize(
    "call",
    [
        ("report", "--on"),
        ("check", "repotting", "--species", "Acer palmatum", "--on"),
        ("compare", "lower-yard", "dune-yard", "--on"),
        ("weather", "--on"),
        ("measures", "--from"),
        ("measures", "--to"),
        ("backtest", "--on"),
        ("journal", "add", "trident open", "--on"),
    ],
    ids=" ".join,
)
def test_a_year_that_is_not_reckoned_with_is_told(tmp_path: Path, call: tuple[str, ...], on: str) -> None:
    found = CliRunner().invoke(main, [*call, on, "--workspace", str(tmp_path)])
    assert (found.exit_code, found.stdout) == (2, "")
    assert "outside the years 1850 to 2199" in " ".join(found.stderr.split())
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("on", ["1850-01-01", "2199-12-31"])
def test_the_first_and_last_year_are_answered(tmp_path: Path, on: str) -> None:
    found = CliRunner().invoke(
        main, ["compare", "lower-yard", "dune-yard", "--on", on, "--workspace", str(tmp_path)]
    )
    assert found.exit_code in (0, 3), found.stderr
