"""Lines of eight diaries held against what a careful friend would take from them."""

from __future__ import annotations

import pytest

from tests.benchmarks.diary_lines import LINES, lines_of, mark

READ = [
    line
    for pattern in ("open_*.csv", "sealed_*.csv", "fresh_*.csv")
    for path in sorted(LINES.glob(pattern))
    for line in lines_of(path)
]
SLIPS = ("Thisle", "junippers", "gabel ", "Azale ")
RIGHTLY = 200  # of the three hundred lines; a pin of our own


@pytest.mark.parametrize("line", READ, ids=lambda line: line.said[:30])
def test_no_line_is_read_wrongly_and_none_refused_that_names_a_tree(line) -> None:
    """One that misspells the name may be: it is told which tree may be meant, and nothing is written."""
    found = mark(line)
    names_none = any(not way.trees for way in line.meant) or any(slip in line.said for slip in SLIPS)
    assert found in ("rightly", "kept") or (found == "refused" and names_none)


def test_most_lines_are_understood() -> None:
    assert sum(mark(line) == "rightly" for line in READ) >= RIGHTLY
