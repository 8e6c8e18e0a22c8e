"""Lines of many diaries held against what a careful friend would take from them."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import GrowerError
from season_engine.workspace.journal_words import understand
from tests.benchmarks.diary_lines import LINES, SITES, Line, lines_of, mark, names

FILES = sorted(LINES.glob("*_*.csv"))
WITHIN_A_WORD = "Hainbuchenlaub"


def names_none_or_is_offered_one(line: Line) -> bool:
    """Whether a refused line is about no tree, or its grower is told which name may be meant."""
    if any(not way.trees for way in line.meant):
        return True
    try:
        understand(line.said, names(), on=dt.date(2026, 12, 15), sites=SITES)
    except GrowerError as refusal:
        return "Did you mean" in refusal.hint or WITHIN_A_WORD in line.said
    return False


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_no_line_is_read_wrongly_and_none_refused_that_names_a_tree(path) -> None:
    for line in lines_of(path):
        found = mark(line)
        assert found in ("rightly", "kept") or (found == "refused" and names_none_or_is_offered_one(line)), (
            line.said
        )


def test_a_sixth_of_the_lines_that_nobody_had_read_is_understood() -> None:
    lines = [line for path in LINES.glob("held_*.csv") for line in lines_of(path)]
    assert sum(mark(line) == "rightly" for line in lines) >= len(lines) / 6
