"""Tables as the pages of evidence show them."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence


def markdown_row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def markdown_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """The lines of a table."""
    yield markdown_row(head)
    yield markdown_row(["---"] * len(head))
    yield from map(markdown_row, rows)


def show(*lines: str) -> None:
    """Print so many lines at once, since the next may take a while."""
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    sys.stdout.flush()
