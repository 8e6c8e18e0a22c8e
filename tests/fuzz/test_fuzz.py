"""A short run of the fuzzers; `make fuzz` goes on for minutes."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.run import Found, calls, spoil_files
from tests.fuzz.targets import Target, targets

SEED = 7
TRIES = 20  # of each kind of file


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Target]:
    return targets(tmp_path_factory.mktemp("good"))


def test_good_files_are_read(made: dict[str, Target], tmp_path: Path) -> None:
    """Else every spoilt one would be refused for what is wrong with the good one."""
    for name, target in made.items():
        folder = tmp_path / name
        folder.mkdir()
        target.read(target.good, folder)


def test_spoilt_files_are_read_or_refused_in_a_growers_words(made: dict[str, Target]) -> None:
    found = Found()
    spoil_files(found, ((number, name) for number in range(TRIES) for name in made), made, SEED)
    assert not found.broken, "\n\n".join(f"{place}\n{trail}" for place, trail in found.broken.items())
    assert sum(found.refused.values()) > 100, "most of what is spoilt is noticed"


def test_odd_calls_end_in_an_answer_or_a_growers_words(tmp_path: Path) -> None:
    found = Found()
    calls(found, range(12), tmp_path, SEED, spoil=False)
    assert not found.broken, "\n\n".join(f"{place}\n{trail}" for place, trail in found.broken.items())


def test_a_reader_that_breaks_is_noticed(tmp_path: Path) -> None:
    """A run that sees nothing would pass everything above."""

    def breaks(_content: bytes, folder: Path) -> None:
        (folder / ".left").touch()
        raise IndexError("beyond the end")

    found = Found()
    broken = Target(b"a,b\n1,2\n", (lambda _random, content: content,), breaks)
    spoil_files(found, [(0, "a table")], {"a table": broken}, SEED)
    assert [place.partition(" at ")[0] for place in found.broken] == [
        "a table: IndexError",
        "a table: left ['.left']",
    ]
