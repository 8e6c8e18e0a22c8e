"""The README keeps its word: its commands run in its order, end as it says, and leave what it says."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from click.testing import CliRunner
from PIL import Image

from season_engine.cli import main
from tests.shown import PROJECT, README, Command, blocks, commands, journal_lines

TEXT = README.read_text("utf-8")
INSTALLED = os.environ.get("SEASON_ENGINE_INSTALLED")  # the folder of another environment's programs
PROGRAMS = Path(INSTALLED) if INSTALLED else Path(sys.executable).parent


def in_folder(folder: Path, command: str) -> tuple[subprocess.CompletedProcess[str], Path]:
    """Run one command as a shell in `folder` would; return how it went and the folder it ends in."""
    where = folder / ".where"
    script = f'{command}\ncode=$?\npwd > "{where}"\nexit $code\n'
    environment = {**os.environ, "PATH": os.pathsep.join([str(PROGRAMS), os.environ["PATH"]])}
    if INSTALLED:  # nothing may lead back to the checkout
        environment.pop("PYTHONPATH", None)
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, env=environment, capture_output=True, text=True, encoding="utf-8"
    )
    ends_in = Path(where.read_text("utf-8").strip())
    where.unlink()
    return done, ends_in


def test_commands_are_found_with_their_exit_codes() -> None:
    text = (
        "```console\n$ one --x 1\noutput\n$ two  # exits 0, 10 or 13\n```\n"
        "```toml\n$ no\n```\n```sh\nthree \\\n  four\n```\n"
    )
    found = [
        Command("one --x 1", frozenset({0})),
        Command("two  # exits 0, 10 or 13", frozenset({0, 10, 13})),
    ]
    assert list(commands(text)) == found
    assert list(commands(text, "sh")) == [*found, Command("three four", frozenset({0}))]


def test_the_commands_run_the_package_that_is_meant(tmp_path: Path) -> None:
    """Of the checkout, or of the wheel that was installed elsewhere."""
    assert Path(shutil.which("season-engine", path=PROGRAMS) or "").parent == PROGRAMS
    done, _ = in_folder(tmp_path, "python -c 'import season_engine; print(season_engine.__file__)'")
    root = Path(done.stdout.strip()).parent.parent
    if INSTALLED:
        assert root.name == "site-packages" and root.is_relative_to(PROGRAMS.parent)
    else:
        assert root == PROJECT


def _report_is_whole(folder: Path, said: str) -> None:
    (week,) = (folder / "reports").glob("2*-W*")
    assert {"report.html", "report.txt", "report.json", "windows.csv"} <= {one.name for one in week.iterdir()}
    assert (folder / "reports" / "index.html").exists()
    assert (folder / "reports" / "season-calendar.ics").exists()


def _a_workspace_is_written(folder: Path, said: str) -> None:
    found = {one.name for one in (folder / "my-yard").iterdir()}
    assert {"season.toml", "trees.csv", "journal.csv"} <= found


def _names(*words: str) -> Callable[[Path, str], None]:
    def named(folder: Path, said: str) -> None:
        assert all(word in " ".join(said.split()) for word in words), said

    return named


def _a_note_is_kept(folder: Path, said: str) -> None:
    assert len(journal_lines(folder)) == said.count("noted: ") == 1


def _mails_are_written(folder: Path, said: str) -> None:
    (mails,) = (folder / "reports").glob("2*-W*-mail")
    assert {one.name for one in mails.iterdir()} == {"mail-1.html", "mail-1.eml"}
    assert "to nobody yet" in said


# What each command leaves or says, by how it begins; the longest beginning counts.
EFFECTS: dict[str, Callable[[Path, str], None]] = {
    "cd": _names(),
    "season-engine init": _a_workspace_is_written,
    "season-engine weather": _names("my-yard"),
    "season-engine report": _report_is_whole,
    "season-engine report --email --preview": _mails_are_written,
    "season-engine check": _names("Japanese black pine, repotting", "Today: "),
    "season-engine journal add": _a_note_is_kept,
}


def test_every_command_runs_as_the_readme_says_and_leaves_what_it_should(tmp_path: Path) -> None:
    folder = tmp_path
    ran = []
    for command in commands(TEXT):
        if command.text.startswith("make "):
            continue
        before = folder
        done, folder = in_folder(folder, command.text)
        assert done.returncode in command.exits, f"$ {command.text}\n{done.stdout}\n{done.stderr}"
        assert "Traceback" not in done.stderr, f"$ {command.text}\n{done.stderr}"
        begins = max((one for one in EFFECTS if command.text.startswith(one)), key=len)
        EFFECTS[begins](before, done.stdout + done.stderr)
        ran.append(shlex.split(command.text)[:2])
    for shown in ("init", "weather", "report", "check", "journal"):
        assert ["season-engine", shown] in ran


def test_make_lines_name_targets_of_the_makefile() -> None:
    """Not run for real: `make test` would start this test again."""
    lines = [command.text for command in commands(TEXT) if command.text.startswith("make ")]
    assert {"make report", "make test"} <= set(lines)
    for line in lines:
        done = subprocess.run(
            ["make", "-n", *shlex.split(line, comments=True)[1:]], cwd=PROJECT, capture_output=True, text=True
        )
        assert done.returncode == 0, f"$ {line}\n{done.stderr}"


def test_cautions_stand_before_the_first_command_that_leads_to_work() -> None:
    section = TEXT.partition("\n## Before you lift a tree\n")[2].partition("\n## ")[0]
    assert TEXT.index(section) < TEXT.index("$ ")
    assert len(section.strip().splitlines()) <= 6
    for word in (
        *("25 kg", "mask", "saws", "wire", "poisonous", "sap", "sprays", "owner's written leave", "35 °C"),
        *("local rules", "licensed practice"),
    ):
        assert word in " ".join(section.split()), word
    assert TEXT.count("trolley") == TEXT.count("never with an acid") == 1, "said once"


def test_the_answer_shown_is_the_program_s_word_for_word(tmp_path: Path) -> None:
    asked = re.search(r"`season-engine (check [^`]+)`\s+answers, on (\d+) April (\d+)", TEXT)
    (answer,) = blocks(README, "text")
    assert asked and len(answer.splitlines()) >= 5
    day = f"{asked[3]}-04-{int(asked[2]):02d}"
    call = [*shlex.split(asked[1]), "--on", day, "--workspace", str(tmp_path)]
    assert answer in CliRunner().invoke(main, call).stdout


def test_the_picture_is_small_enough_and_of_the_size_it_is_taken_in() -> None:
    (name,) = re.findall(r"\]\(([^)]+\.png)\)", TEXT)
    assert (PROJECT / name).stat().st_size < 150_000
    with Image.open(PROJECT / name) as picture:
        assert picture.format == "PNG" and picture.width >= 700 and picture.height >= 700


def test_it_is_short_and_says_bonsai_at_once() -> None:
    assert len(TEXT.splitlines()) <= 125
    first = TEXT.partition("\n\n")[2].partition(".")[0]
    assert "bonsai" in first
