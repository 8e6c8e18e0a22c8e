"""What a shell is offered after a key."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import COMMANDS, main
from season_engine.commands import measures
from season_engine.commands.completing import VARIABLE
from season_engine.measures.degree_days import CUTOFFS
from season_engine.species.catalogue import load_catalogue
from tests.test_structure import run_cli
from tests.workspaces import make_two_yards

PROGRAM = Path(sys.executable).with_name("season-engine")


def offered(folder: Path, line: str, monkeypatch: pytest.MonkeyPatch, shell: str = "bash") -> list[str]:
    """What `shell` would offer for the last word of a line typed in `folder`."""
    monkeypatch.chdir(folder)
    words = re.split(r"(?<!\\) ", line)
    environment = {VARIABLE: f"{shell}_complete", "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1)}
    if shell == "fish":
        environment["COMP_CWORD"] = words[-1]
    done = CliRunner(env=environment).invoke(main, [], prog_name="season-engine")
    assert done.exit_code in (0, 1), done.output  # click exits 1 after zsh's and fish's
    lines = done.stdout.splitlines()
    return lines[1::3] if shell == "zsh" else [one.partition(",")[2] for one in lines]


@pytest.mark.parametrize(
    ("line", "first"),
    [
        ("season-engine ", list(COMMANDS)),
        ("season-engine re", ["report"]),
        ("season-engine check re", ["repotting"]),
        ("season-engine check repotting ket", ["Kettle"]),
        ("season-engine check repotting --tree ", ["p1", "p2", "m1", "u1", "Kettle", "Thimble"]),
        ("season-engine report --site kag", ["kagoshima"]),
        ("season-engine compare ", ["nagano", "kagoshima"]),
        ("season-engine check repotting --species pinus-thun", ["Pinus-thunbergii"]),
        ("season-engine check repotting --species Pinus\\ thun", ["Pinus-thunbergii"]),
        ("season-engine check repotting maple --s", ["--species", "--site", "--size"]),
        ("season-engine check repotting maple --size ", ["small", "medium", "large"]),
        ("season-engine journal ", ["add", "list", "undo"]),
        ("season-engine journal add --job deca", ["decandling"]),
        ("season-engine measures --chill leg", ["legave_2008"]),
        ("season-engine completion ", ["bash", "zsh", "fish"]),
    ],
)
def test_what_may_follow_is_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, line: str, first: list[str]
) -> None:
    found = offered(make_two_yards(tmp_path), line, monkeypatch)
    assert found[: len(first)] == first


def test_names_are_taken_as_they_are_offered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of every species, without spaces."""
    found = offered(tmp_path, "season-engine compare --species ", monkeypatch)
    catalogue = load_catalogue()
    names = catalogue.known_names(())
    assert len(found) == len(set(found)) > 600
    assert {names.species_called(one.replace("\\", "")) for one in found} == set(catalogue.species)
    assert not any(" " in one for one in found)


def test_a_name_with_spaces_is_marked_for_bash_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    line = "season-engine check repotting --tree old"
    assert offered(tmp_path, line, monkeypatch) == ["Old\\ Gatekeeper"]
    assert offered(tmp_path, line, monkeypatch, "zsh") == ["Old Gatekeeper"]
    line = "season-engine check repotting --tree Old\\ g"
    assert offered(tmp_path, line, monkeypatch) == ["Old\\ Gatekeeper"]


def test_another_folder_s_sites_and_species_of_one_s_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    yard = make_two_yards(tmp_path / "yard")
    (yard / "catalogue.toml").write_text(
        '[species."Juniperus occidentalis"]\ngroup = "juniper"\ncommon = ["western juniper"]\n', "utf-8"
    )
    line = f"season-engine report --workspace {yard} --site "
    assert offered(tmp_path, line, monkeypatch) == ["nagano", "kagoshima"]
    line = f"season-engine check repotting --workspace {yard} --species western-j"
    assert offered(tmp_path, line, monkeypatch) == ["western-juniper"]


def test_a_table_that_a_spreadsheet_wrote_offers_its_trees(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    yard = make_two_yards(tmp_path)
    (yard / "trees.csv").write_text("\ufeffID;Name;Site;Species\r\nk1;Heron;nagano;Larix\r\n", "utf-8")
    assert offered(yard, "season-engine check repotting --tree ", monkeypatch) == ["k1", "Heron"]


@pytest.mark.parametrize("name", ["season.toml", "trees.csv", "catalogue.toml"])
def test_a_file_that_cant_be_read_offers_nothing_and_says_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    yard = make_two_yards(tmp_path)
    (yard / name).write_bytes(b'[[site]\nname = "\xff\n[species."A"]\ncommon = 3\n')
    for line in ("report --site ", "check repotting --tree ", "check repotting --species pinus-thun"):
        offered(yard, f"season-engine {line}", monkeypatch)


def test_bash_completes_by_what_is_printed(tmp_path: Path) -> None:
    script = (
        'eval "$(season-engine completion bash)"\n'
        "COMP_WORDS=(season-engine check repo); COMP_CWORD=2\n"
        '_season_engine_completion season-engine; printf "%s\\n" "${COMPREPLY[@]}"'
    )
    environment = {**os.environ, "PATH": f"{PROGRAM.parent}{os.pathsep}{os.environ['PATH']}"}
    done = subprocess.run(
        ["bash", "-c", script], cwd=tmp_path, env=environment, capture_output=True, text=True
    )
    assert (done.returncode, done.stdout.split(), done.stderr) == (0, ["repotting"], "")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_names_the_program_and_the_shell(shell: str) -> None:
    done = CliRunner().invoke(main, ["completion", shell], prog_name="season-engine")
    assert done.exit_code == 0
    assert f"{VARIABLE}={shell}_complete" in done.stdout and "season-engine" in done.stdout


def test_the_cutoffs_offered_are_those_there_are() -> None:
    assert measures.CUTOFFS == (*CUTOFFS,)


def test_completion_loads_nothing_of_the_engine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Completion answers within the blink that a shell gives it."""
    for name in COMMANDS:
        monkeypatch.setenv(VARIABLE, "bash_complete")
        monkeypatch.setenv("COMP_WORDS", f"season-engine {name} --")
        monkeypatch.setenv("COMP_CWORD", "2")
        done, imported = run_cli(tmp_path)
        assert "plain,--help" in done.stdout
        assert "numpy" not in imported, name
        assert not imported & {"pydantic", "season_engine.pipeline", "season_engine.workspace.workspace"}, (
            name
        )
