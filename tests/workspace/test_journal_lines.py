"""Lines of many diaries held against what a careful friend would take from them."""

from __future__ import annotations

import pytest

from tests.benchmarks.diary_lines import LINES, lines_of, mark

# What whoever worked on the reader has read; docs/evidence/journal.md tells of lines that nobody had.
READ = ("open", "sealed", "fresh", "last", "unseen", "tried")
FILES = sorted(path for name in READ for path in LINES.glob(f"{name}_*.csv"))
WRONGLY = ("big house by the church",)  # somebody's apricot, and nothing in the line says whose
REFUSED = ("Thisle", "junippers", "gabel ", "Azale ", "Hainbuchenlaub")  # slips, and a name within a word
RIGHTLY = 0.33  # of all lines; a pin of our own


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_line_is_read_wrongly_and_none_refused_that_names_a_tree(path) -> None:
    for line in lines_of(path):
        found = mark(line)
        names_none = any(not way.trees for way in line.meant) or any(slip in line.said for slip in REFUSED)
        known = any(one in line.said for one in WRONGLY)
        assert found in ("rightly", "kept") or (found == "refused" and names_none) or known, line.said


def test_a_third_of_the_lines_is_understood() -> None:
    lines = [line for path in FILES for line in lines_of(path)]
    assert sum(mark(line) == "rightly" for line in lines) >= RIGHTLY * len(lines)
