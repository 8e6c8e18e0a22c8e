"""Rows of cells as lines of text, a cell from the next by a tab, as the reader of tables has them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

_BREAKS = re.compile(r'[\s"]+')


def as_text(rows: Iterable[Sequence[object]], about: Iterable[str] = ()) -> bytes:
    """The lines above a table, and its rows, as UTF-8."""
    lines = [_BREAKS.sub(" ", line).strip() for line in about]
    lines += ["\t".join(map(_cell, row)) for row in rows]
    return "\n".join([*lines, ""]).encode("utf-8", "replace")


def _cell(value: object) -> str:
    if value is None:
        return ""
    return _BREAKS.sub(" ", str(value).lower() if isinstance(value, bool) else str(value)).strip()
