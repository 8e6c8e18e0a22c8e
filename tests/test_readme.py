"""The README keeps its word: its commands run, in its order, and end as it says."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PROJECT = Path(__file__).parent.parent
README = PROJECT / "README.md"
CONSOLE_BLOCK = re.compile(r"^```console\n(.*?)^```", re.MULTILINE | re.DOTALL)
SAID_EXIT = re.compile(r"#\s*exits\s+(.+)$")


@dataclass(frozen=True)
class Command:
    """One `$ ` line; `exits` holds the codes a trailing comment such as `# exits 0, 10 or 11` allows."""

    text: str
    exits: frozenset[int]


def commands(markdown: str) -> Iterator[Command]:
    for block in CONSOLE_BLOCK.findall(markdown):
        for line in block.splitlines():
            if line.startswith("$ "):
                said = SAID_EXIT.search(line)
                exits = {int(code) for code in re.findall(r"\d+", said[1])} if said else {0}
                yield Command(line.removeprefix("$ "), frozenset(exits))


def in_folder(folder: Path, command: str) -> tuple[subprocess.CompletedProcess[str], Path]:
    """Run one command as a shell in `folder` would; return how it went and the folder it ends in."""
    where = folder / ".where"
    script = f'{command}\ncode=$?\npwd > "{where}"\nexit $code\n'
    bin_folder = str(Path(sys.executable).parent)
    environment = {**os.environ, "PATH": os.pathsep.join([bin_folder, os.environ["PATH"]])}
    done = subprocess.run(
        ["bash", "-c", script], cwd=folder, env=environment, capture_output=True, text=True, encoding="utf-8"
    )
    ends_in = Path(where.read_text("utf-8").strip())
    where.unlink()
    return done, ends_in


def test_commands_are_found_with_their_exit_codes() -> None:
    text = "```console\n$ one --x 1\noutput\n$ two  # exits 0, 10 or 13\n```\n```toml\n$ no\n```\n"
    assert list(commands(text)) == [
        Command("one --x 1", frozenset({0})),
        Command("two  # exits 0, 10 or 13", frozenset({0, 10, 13})),
    ]


def test_every_command_runs_as_the_readme_says(tmp_path: Path) -> None:
    folder = tmp_path
    ran = []
    for command in commands(README.read_text("utf-8")):
        if command.text.startswith("make "):
            continue
        done, folder = in_folder(folder, command.text)
        assert done.returncode in command.exits, f"$ {command.text}\n{done.stdout}\n{done.stderr}"
        assert "Traceback" not in done.stderr, f"$ {command.text}\n{done.stderr}"
        ran.append(shlex.split(command.text)[:2])
    for shown in ("init", "report", "check", "measures", "weather", "compare", "journal"):
        assert ["season-engine", shown] in ran


def test_make_lines_name_targets_of_the_makefile() -> None:
    """Not run for real: `make test` would start this test again."""
    lines = [
        command.text for command in commands(README.read_text("utf-8")) if command.text.startswith("make ")
    ]
    assert {"make report", "make test"} <= set(lines)
    for line in lines:
        done = subprocess.run(
            ["make", "-n", *shlex.split(line, comments=True)[1:]], cwd=PROJECT, capture_output=True, text=True
        )
        assert done.returncode == 0, f"$ {line}\n{done.stderr}"


def test_cautions_stand_before_the_first_command_that_leads_to_work() -> None:
    text = README.read_text("utf-8")
    section = text.partition("\n## Work safely\n")[2].partition("\n## ")[0]
    assert text.index("## Work safely") < text.index("$ season-engine")
    assert len(section.strip().splitlines()) <= 6
    for word in (
        "25 kg",
        "mask",
        "saws",
        "wire",
        "poisonous",
        "sap",
        "sprays",
        "owner's written leave",
        "35 °C",
    ):
        assert word in section
    assert text.count("trolley") == text.count("never with an acid") == 1, "said once"
