"""Lines of four diaries held against what a careful friend would take from them."""

from __future__ import annotations

import pytest

from tests.benchmarks.diary_lines import LINES, lines_of, mark

READ = [
    line
    for pattern in ("open_*.csv", "sealed_*.csv")
    for path in sorted(LINES.glob(pattern))
    for line in lines_of(path)
]
RIGHTLY = 155  # of the two hundred lines; a pin of our own


@pytest.mark.parametrize("line", READ, ids=lambda line: line.said[:30])
def test_no_line_is_read_wrongly_or_refused(line) -> None:
    assert mark(line) in ("rightly", "kept")


def test_most_lines_are_understood() -> None:
    assert sum(mark(line) == "rightly" for line in READ) >= RIGHTLY
