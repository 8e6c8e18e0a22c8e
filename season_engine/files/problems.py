"""Collecting what is wrong with a file, so that a grower sees it all at once."""

from __future__ import annotations

from season_engine.errors import GrowerError, InputErrors

MOST_SHOWN = 20


class Problems:
    """The problems of one file: the first few by line, and a count of the rest."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._found: list[tuple[int, str | None, str, str]] = []

    def add(self, line: int, field: str | None, problem: str, hint: str = "") -> None:
        """Note a problem at a place."""
        self._found.append((line, field, problem, hint))

    def raise_if_any(self) -> None:
        """Raise InputErrors if anything was noted."""
        if not self._found:
            return
        found = sorted(self._found, key=lambda problem: problem[0])
        errors = [
            GrowerError(problem, hint=hint, file=self.file, line=line, field=field)
            for line, field, problem, hint in found[:MOST_SHOWN]
        ]
        more = len(found) - MOST_SHOWN
        if more > 0:
            errors.append(GrowerError(f"and {more} more like these.", file=self.file))
        raise InputErrors(errors)
