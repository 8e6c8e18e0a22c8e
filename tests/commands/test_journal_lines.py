from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main
from season_engine.commands import clock
from tests.schemas import assert_valid
from tests.workspaces import make_workspace

JOURNAL = """date,site,tree,species,bbch,job,note,facts,entered,withdraws
2020-03-28,nagano,m1,,01,,buds fat,,,
2022-07-20,nagano,p1,,,structural-pruning,,amount heavy; share 30%; wire off,,
2021-04-12,nagano,p1,,,repotting,entered years later,none,2024-03-01,
2023-04-01,nagano,m1,,09,,a slip,,,
2023-04-01,nagano,m1,,09,,a slip,,2023-04-03,yes
2023-05-01,nagano,,European larch,07,,"over
two lines",,,
"""


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    folder = make_workspace(tmp_path / "yard")
    (folder / "journal.csv").write_text(JOURNAL, "utf-8")
    return folder


def run(folder: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(main, ["journal", *arguments, "--workspace", str(folder)])
    assert "a fault of its own" not in result.stderr, result.stderr
    return result


def listed(folder: Path, *arguments: str) -> list[int]:
    """The numbers of the lines that are listed, from the JSON."""
    result = run(folder, "list", "--json", *arguments)
    assert result.exit_code == 0, result.stderr
    document = json.loads(result.stdout)
    assert_valid(document, "journal")
    return [line["line"] for line in document["lines"]]


def test_a_line_says_what_was_taken_from_it_and_its_words(yard: Path) -> None:
    result = run(yard, "list", "--on", "2024-06-01", "--all")
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= 80
    assert result.stdout.splitlines() == [
        "    2  2020-03-28  Rust (Japanese maple), at nagano: buds swelling (BBCH 01).",
        '                   "buds fat"',
        '    4  2021-04-12  Kettle (Japanese black pine), at nagano: repotting. "entered',
        '                   years later"',
        "    3  2022-07-20  Kettle (Japanese black pine), at nagano: structural-pruning,",
        "                   amount heavy, share 30%, wire off",
        "    5  2023-04-01  Taken back 2023-04-03: Rust (Japanese maple), at nagano:",
        '                   green tips (BBCH 09). "a slip"',
        '    7  2023-05-01  European larch, at nagano: buds breaking (BBCH 07). "over two',
        '                   lines"',
    ]


@pytest.mark.parametrize(
    ("asked", "lines"),
    [
        ((), [2, 4, 3, 7]),
        (("--all",), [2, 4, 3, 5, 7]),
        (("--on", "2024-02-29"), [2, 3, 7]),  # the late entry was not there yet
        (("--on", "2023-04-02"), [2, 3, 5]),  # nor was the withdrawal
        (("--tree", "kettle"), [4, 3]),
        (("--species", "Japanese maple"), [2]),
        (("--species", "European larch"), [7]),
        (("--since", "2022-07-20"), [3, 7]),
        (("--since", "2022-07-21", "--tree", "p1"), []),
    ],
)
def test_which_lines_are_listed(yard: Path, asked: tuple[str, ...], lines: list[int]) -> None:
    assert listed(yard, *asked) == lines


def test_where_there_are_none_it_says_so(yard: Path) -> None:
    assert run(yard, "list", "--tree", "p2").stdout == "No lines.\n"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--tree", "p9"), 'no tree "p9"'),
        (("--species", "oke"), 'no species "oke"'),
        (("--tree", "p1", "--species", "larch"), "not both"),
        (("--since", "soon"), "is not a date"),
    ],
)
def test_what_can_t_be_listed_exits_2(yard: Path, asked: tuple[str, ...], said: str) -> None:
    result = run(yard, "list", *asked)
    assert result.exit_code == 2
    assert said in result.stderr


def test_the_demo_can_be_listed_and_not_undone(tmp_path: Path) -> None:
    assert len(listed(tmp_path)) > 20
    undone = run(tmp_path, "undo")
    assert undone.exit_code == 2
    assert "the demo keeps no notes" in undone.stderr
    assert list(tmp_path.iterdir()) == []


def test_undo_takes_back_the_line_entered_last_and_then_the_one_before(yard: Path) -> None:
    assert (
        CliRunner()
        .invoke(main, ["journal", "add", "wired Thimble", "--on", "2019-03-01", "--workspace", str(yard)])
        .stdout.startswith("noted: ")
    )
    before = (yard / "journal.csv").read_bytes()
    first, second = run(yard, "undo"), run(yard, "undo")
    assert first.stdout == (
        'taken back: line 9, 2019-03-01, Thimble (Japanese black pine), at nagano: wiring. "wired Thimble"\n'
    )
    assert second.stdout.startswith("taken back: line 4, 2021-04-12, Kettle")
    assert listed(yard) == [2, 3, 7]
    after = (yard / "journal.csv").read_bytes()
    assert after.startswith(before)
    assert after[len(before) :].decode().splitlines() == [
        f"2019-03-01,nagano,p2,,,wiring,wired Thimble,none,{clock.today()},yes",
        f"2021-04-12,nagano,p1,,,repotting,entered years later,none,{clock.today()},yes",
    ]


def test_undo_of_one_line(yard: Path) -> None:
    assert run(yard, "undo", "2").stdout.startswith("taken back: line 2, 2020-03-28, Rust (Japanese maple)")
    assert listed(yard) == [4, 3, 7]
    assert listed(yard, "--on", "2024-06-01") == [2, 4, 3, 7]  # as it was known then


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("1", "No note begins on this line."),
        ("8", "No note begins on this line."),  # the second of a note over two lines
        ("5", "This line is taken back already."),
        ("6", "This line takes another back."),
        ("0", "0 is not in the range"),
    ],
)
def test_what_can_t_be_taken_back_exits_2_and_writes_nothing(yard: Path, line: str, said: str) -> None:
    result = run(yard, "undo", line)
    assert result.exit_code == 2
    assert said in result.stderr
    assert (yard / "journal.csv").read_text("utf-8") == JOURNAL


def test_with_nothing_left_there_is_nothing_to_take_back(yard: Path) -> None:
    for _ in range(4):
        assert run(yard, "undo").exit_code == 0
    result = run(yard, "undo")
    assert result.exit_code == 2
    assert "There is no line to take back." in result.stderr
    assert listed(yard) == []
    (yard / "journal.csv").unlink()
    assert run(yard, "undo").exit_code == 2
    assert run(yard, "undo", "2").exit_code == 2
