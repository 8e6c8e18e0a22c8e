"""New columns in the header of a CSV file a grower wrote, all else left as it stands to the byte."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.files.foreign_csv import BrokenCsv, rows_of


def with_columns(path: Path, content: bytes, added: Sequence[str], delimiter: str) -> bytes:
    """The content of a file with its header longer by the names `added`.

    Raises GrowerError, with what to do, for a header that can't be lengthened so.
    """
    start = next(line for line, row in rows_of(content.decode("utf-8-sig"), delimiter) if row)
    lines = content.split(b"\n")
    typed = lines[start - 1].decode("utf-8")
    named = _named(typed, delimiter)
    # A spreadsheet's empty columns at the end make room for the new ones.
    bare = typed.rstrip(f"{delimiter} \r")
    end = "\r" if typed.endswith("\r") else ""
    longer = delimiter.join([bare, *added]) + end
    if not named or _named(longer, delimiter) != [*named, *added]:
        raise GrowerError(
            "This header can't be given new columns; nothing was written.",
            hint=f"Add {delimiter.join(added)} to its end.",
            file=path,
            line=start,
        )
    lines[start - 1] = longer.encode("utf-8")
    return b"\n".join(lines)


def _named(line: str, delimiter: str) -> list[str]:
    """The names in a header, without the empty ones at its end; none where it is no line of its own."""
    try:
        rows = [row for _, row in rows_of(line.removeprefix("\ufeff"), delimiter) if row]
    except BrokenCsv:
        return []
    names = [name.strip() for name in rows[0]] if len(rows) == 1 else []
    while names and not names[-1]:
        names.pop()
    return names
