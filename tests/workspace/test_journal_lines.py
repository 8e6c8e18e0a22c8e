"""Lines of four diaries held against what a careful friend would take from them."""

from __future__ import annotations

import pytest

from tests.benchmarks.diary_lines import LINES, lines_of, mark

OPEN = [line for path in sorted(LINES.glob("open_*.csv")) for line in lines_of(path)]
RIGHTLY = 94  # of the hundred open lines; a pin of our own


@pytest.mark.parametrize("line", OPEN, ids=lambda line: line.said[:30])
def test_no_open_line_is_read_wrongly_or_refused(line) -> None:
    assert mark(line) in ("rightly", "kept")


def test_most_open_lines_are_understood() -> None:
    assert sum(mark(line) == "rightly" for line in OPEN) >= RIGHTLY
