"""On which line of a TOML text a value stands; only asked once something is wrong."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

from season_engine.errors import GrowerError

Location = tuple[str | int, ...]

_LINE_IN_MESSAGE = re.compile(r" ?\(at line (\d+), column \d+\)")
_END_IN_MESSAGE = " (at end of document)"


@dataclass(frozen=True, slots=True)
class TomlText:
    """The text of a TOML file, and the name by which a grower knows the file."""

    file: str
    text: str

    def fault(self, problem: str, location: Location = (), hint: str = "") -> GrowerError:
        """An error that names the file, the line and the field; the text has to parse."""
        field = ".".join(step for step in location if isinstance(step, str))
        line = line_of(self.text, location) if location else None
        return GrowerError(problem, hint=hint, file=self.file, line=line, field=field or None)


def packaged(path: str) -> TomlText:
    """A file that comes with the package, by its path in it, such as ``species/jobs.toml``."""
    file = resources.files("season_engine").joinpath(path)
    return TomlText(path, file.read_text(encoding="utf-8"))


def line_of(text: str, location: Location) -> int:
    """Line (from 1) of the key or table at `location` in TOML that parses.

    Where there is nothing, the line of the nearest table around it; the whole text counts as line 1.
    """
    data = tomllib.loads(text)
    while location and not _holds(data, location):
        location = location[:-1]
    if not location:
        return 1
    lines = text.split("\n")

    def appears_by(number: int) -> bool:
        return _holds(_parsed_to(lines, number), location)

    # The statement that brings the value in starts on the first line that can't be left out.
    return bisect_left(range(1, len(lines)), True, key=appears_by) + 1


def syntax_fault(error: ValueError, text: str) -> tuple[int, str]:
    """Line of a syntax error and what is wrong there, out of the parser's message."""
    if not isinstance(error, tomllib.TOMLDecodeError):
        return 1, "it holds a number with too many digits"
    message = str(error)
    found = _LINE_IN_MESSAGE.search(message)
    line = int(found.group(1)) if found else len(text.rstrip().split("\n"))
    at_end = " before the end of the file" if _END_IN_MESSAGE in message else ""
    return line, _LINE_IN_MESSAGE.sub("", message).replace(_END_IN_MESSAGE, "").rstrip(".") + at_end


def _parsed_to(lines: list[str], number: int) -> dict[str, Any]:
    """The first `number` lines parsed, with as many more as their last statement needs."""
    for end in range(number, len(lines)):
        try:
            return tomllib.loads("\n".join(lines[:end]) + "\n")
        except tomllib.TOMLDecodeError:
            continue  # inside a value that runs over several lines
    return tomllib.loads("\n".join(lines))


def _holds(data: Any, location: Location) -> bool:
    for step in location:
        if isinstance(data, Mapping):
            if step not in data:
                return False
        elif not (isinstance(data, list) and isinstance(step, int) and step < len(data)):
            return False
        data = data[step]
    return True
