"""Lines of text 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

COLUMNS = 80


_KEPT_TOGETHER = "\u00a0°"


def bullets(texts: Iterable[str]) -> list[str]:
    """Each text as an item of a list, wrapped."""
    return [line for text in texts for line in wrapped(text, "  - ", "    ")]


def wrapped(text: str, first: str = "  ", rest: str | None = None) -> list[str]:
    """Lines of at most 80 columns; an address or a week such as 2026-W33 isn't broken at its hyphen."""
    lines = textwrap.wrap(
        text.replace(" °", _KEPT_TOGETHER),
        COLUMNS,
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_on_hyphens=False,
    )
    return [line.replace(_KEPT_TOGETHER, " °") for line in lines]
