"""The commands on trees that died, were given away or were moved to another yard."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine import season_at
from season_engine.cli import main
from season_engine.errors import GrowerError
from season_engine.pipeline import trees_at, yard_on
from season_engine.workspace.workspace import Workspace, load_workspace
from tests.workspaces import make_two_yards

HEADER = "date,site,tree,species,bbch,job,note,facts,entered,withdraws\n"
LINES = """2024-02-01,nagano,p1,,,,to the coast,moved to kagoshima,,
2024-02-01,nagano,m1,,,,frozen through,dead,2024-02-20,
2024-02-01,nagano,u1,,,,to a neighbour,given away,,
2024-03-01,nagano,p2,,,,,given away,,
"""


@pytest.fixture(scope="module")
def yards(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = make_two_yards(tmp_path_factory.mktemp("yards"))
    (folder / "journal.csv").write_text(HEADER + LINES, "utf-8")
    return folder


@pytest.fixture
def workspace(yards: Path) -> Workspace:
    return load_workspace(yards)


def check(folder: Path, *words: str, on: str) -> Result:
    return CliRunner().invoke(main, ["check", "repotting", *words, "--workspace", str(folder), "--on", on])


@pytest.mark.parametrize(
    ("on", "nagano", "kagoshima"),
    [
        (dt.date(2024, 1, 31), ["p1", "p2", "m1", "u1"], []),
        (dt.date(2024, 2, 19), ["p2", "m1"], ["p1"]),
        (dt.date(2024, 2, 20), ["p2"], ["p1"]),
    ],
)
def test_each_yard_has_the_trees_it_was_known_to_have(
    workspace: Workspace, on: dt.date, nagano: list[str], kagoshima: list[str]
) -> None:
    for entry, ids in zip(workspace.sites, (nagano, kagoshima), strict=True):
        assert [tree.id for tree in trees_at(workspace, [entry], on)] == ids
        assert [tree.id for tree in yard_on(workspace, entry, on).trees] == ids


def test_check_says_that_a_tree_is_gone_and_how_to_take_that_back(yards: Path) -> None:
    dead = check(yards, "Rust", on="2024-02-25")
    assert (dead.exit_code, dead.stdout) == (2, "")
    assert dead.stderr.splitlines() == [
        "m1 (Rust) is noted as dead on 2024-02-01. If that is wrong, take the note back: "
        "`season-engine journal undo 3`."
    ]
    assert check(yards, "Rust", on="2024-02-19").exit_code in (0, 10, 13)
    given = check(yards, "--tree", "p2", on="2024-03-05")
    assert given.exit_code == 2
    assert "p2 (Thimble) is noted as given away on 2024-03-01." in given.stderr


def test_check_judges_a_moved_tree_where_it_stands(yards: Path) -> None:
    for on, site in (("2024-01-31", "nagano"), ("2024-02-25", "kagoshima")):
        found = check(yards, "Kettle", on=on)
        assert found.exit_code in (0, 10, 13), found.stderr
        assert site in found.stdout
    # one black pine is left in the first yard
    assert (
        "For p2 (Thimble), the only black pine"
        in check(yards, "black", "pine", "--site", "nagano", on="2024-02-25").stdout
    )


def test_a_species_of_which_the_only_tree_is_gone_is_judged_as_a_species(yards: Path) -> None:
    found = check(yards, "Japanese", "maple", "--site", "nagano", on="2024-02-25")
    assert found.exit_code in (0, 10, 13), found.stderr
    assert "Rust" not in found.stdout


def test_one_that_trees_csv_has_as_dead_is_told_with_its_line(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "yards")
    (folder / "trees.csv").write_text("id,site,species,dead\nm1,nagano,Acer palmatum,2024-02\n", "utf-8")
    (folder / "journal.csv").unlink()
    result = check(folder, "m1", on="2024-02-25")
    assert result.exit_code == 2
    assert "trees.csv, line 2, dead: m1 is marked as dead since 2024-02-01." in result.stderr
    assert check(folder, "m1", on="2024-01-25").exit_code in (0, 10, 13)


def test_from_python_a_tree_that_is_gone_is_refused_and_a_moved_one_is_as_it_is(workspace: Workspace) -> None:
    season = season_at(workspace, "nagano", on="2024-02-25")
    rust = workspace.tree_named("m1")
    with pytest.raises(GrowerError, match="noted as dead"):
        season.window(rust, "repotting")


def test_a_note_on_a_moved_tree_is_one_of_its_new_yard(tmp_path: Path) -> None:
    folder = make_two_yards(tmp_path / "yards")
    (folder / "journal.csv").write_text(HEADER + LINES, "utf-8")
    said = CliRunner().invoke(
        main, ["journal", "add", "wired Kettle", "--on", "2024-03-01", "--workspace", str(folder)]
    )
    assert said.stdout.endswith("at kagoshima\n")
    before = CliRunner().invoke(
        main, ["journal", "add", "wired Kettle", "--on", "2024-01-01", "--workspace", str(folder)]
    )
    assert before.stdout.endswith("at nagano\n")
