"""What is wrong with a logger's lines: a fault that comes again and again is told once, with its count."""

from __future__ import annotations

from season_engine.errors import GrowerError, InputErrors

_MOST_EACH = 5  # lines of one kind of fault that are told one by one
_MOST_LINES = 3  # further lines that are named


class Faults:
    """The faults of one file by kind."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._found: dict[tuple[str | None, str], list[tuple[int, str, str]]] = {}

    def add(self, kind: str, line: int, field: str | None, problem: str, hint: str = "") -> None:
        """Note a fault at a place; those of a kind are told together where they are many."""
        self._found.setdefault((field, kind), []).append((line, problem, hint))

    def raise_if_any(self) -> None:
        """Raise InputErrors if anything was noted."""
        errors = []
        for (field, _), places in self._found.items():
            places.sort()
            for line, problem, hint in places[:1] if len(places) > _MOST_EACH else places:
                errors.append(self._told(places, line, field, problem, hint))
        if errors:
            raise InputErrors(sorted(errors, key=lambda error: error.line or 0))

    def _told(
        self, places: list[tuple[int, str, str]], line: int, field: str | None, problem: str, hint: str
    ) -> GrowerError:
        if len(places) > _MOST_EACH:
            named = ", ".join(str(place[0]) for place in places[1 : _MOST_LINES + 1])
            hint = f"So it is on {len(places) - 1:,} more lines: {named} and so on. {hint}".rstrip()
        return GrowerError(problem, hint=hint, file=self.file, line=line, field=field)
