"""How far a long piece of work is: a bar on a terminal, a line now and then elsewhere, nothing in JSON."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from season_engine.commands import progress
from season_engine.commands.progress import Progress

COMPARE = ("compare", "lower-yard", "dune-yard", "--job", "wiring", "--species", "larch", "--json")
HIDDEN, SHOWN = "\x1b[?25l", "\x1b[?25h"  # the cursor, as click draws a bar


def stderr_of(*arguments: str, folder: Path, terminal: bool) -> str:
    """What a command says on stderr, where that is a terminal or a pipe."""
    call = [sys.executable, "-m", "season_engine.cli", *arguments, "--workspace", str(folder)]
    ours, theirs = pty.openpty() if terminal else os.pipe()
    with subprocess.Popen(call, stdout=subprocess.DEVNULL, stderr=theirs) as running:
        os.close(theirs)
        said = b""
        try:
            while piece := os.read(ours, 4096):
                said += piece
        except OSError:  # a terminal whose other end is closed
            pass
        os.close(ours)
    assert running.returncode == 0, said
    return said.decode()


def test_a_terminal_gets_a_bar_and_its_cursor_back(tmp_path: Path) -> None:
    said = stderr_of(*COMPARE, folder=tmp_path, terminal=True)
    assert "Reading the seasons" in said and "100%" in said
    assert said.count(HIDDEN) >= 1 and said.rindex(SHOWN) > said.rindex(HIDDEN)


def test_a_pipe_gets_none(tmp_path: Path) -> None:
    said = stderr_of(*COMPARE, folder=tmp_path, terminal=False)
    assert said.splitlines() == [
        "No season.toml here: this is the embedded demo, and its weather is invented."
    ]


def test_elsewhere_a_line_now_and_then_says_how_long_it_takes(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    seconds = iter((0.0, 20.0, 40.0, 50.0, 80.0, 200.0, 300.0, 320.0))
    monkeypatch.setattr(progress.time, "monotonic", lambda: next(seconds))
    with Progress("Looking back") as shown:
        for done in range(7):
            shown.show(done, 7)
    assert capsys.readouterr().err.splitlines() == [
        "Looking back: 1 of 7, about 4 minutes left",
        "Looking back: 3 of 7, about 2 minutes left",
        "Looking back: 4 of 7, about 2 minutes left",
        "Looking back: 5 of 7, about 2 minutes left",
    ]


def test_a_run_that_is_to_be_silent_is(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(progress, "EVERY_S", 0.0)
    with Progress("Reading", quiet=True) as shown:
        shown.show(1, 2)
    assert capsys.readouterr() == ("", "")
    with Progress("Reading") as shown:
        shown.show(1, 2)
    assert capsys.readouterr().err == "Reading: 1 of 2, less than a minute left\n"
