"""Errors written for a grower: what is wrong, where, and what to do about it."""

from __future__ import annotations

import re
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import zipfile

EXIT_BAD_INPUT = 2
EXIT_POOR_WEATHER = 3
EXIT_NOT_DELIVERED = 4


_ENDLESS = re.compile(r'("[^"\n]{200})[^"\n]+"|(\S{200})\S+')  # a quoted text, or a word


def _cut(text: str) -> str:
    """The text with what is repeated at endless length cut."""
    return _ENDLESS.sub(lambda found: f'{found[1]}..."' if found[1] else f"{found[2]}...", text)


def _fit_to_print(text: str) -> str:
    """Nothing that was typed and is repeated may be obeyed by a terminal."""
    return "".join(letter if letter.isprintable() or letter == "\n" else "?" for letter in text)


class GrowerError(Exception):
    """A problem the grower can mend; printed as it stands, never with a traceback.

    Parameters
    ----------
    problem : what is wrong, in a short sentence.
    hint : what to do about it.
    file, line, field : where it is, as far as that is known.
    """

    exit_code = EXIT_BAD_INPUT

    def __init__(
        self,
        problem: str,
        *,
        hint: str = "",
        file: Path | zipfile.Path | str | None = None,
        line: int | None = None,
        field: str | None = None,
    ) -> None:
        self.problem = problem
        self.hint = hint
        self.file = None if file is None else str(file)
        self.line = line
        self.field = field
        super().__init__(str(self))

    def __str__(self) -> str:
        place = _fit_to_print(self.file or "")
        if self.line is not None:
            place += f", line {self.line}" if place else f"line {self.line}"
        if self.field:
            field = _fit_to_print(_cut(self.field))
            place += f", {field}" if place else field
        problem, hint = (_fit_to_print(_cut(text)) for text in (self.problem, self.hint))
        text = f"{place}: {problem}" if place else problem
        return f"{text} {hint}".rstrip() if hint else text


class InputErrors(GrowerError):
    """Several problems found in one reading, all shown at once."""

    def __init__(self, errors: list[GrowerError]) -> None:
        self.errors = tuple(errors)
        super().__init__(str(self))

    def __str__(self) -> str:
        return "\n".join(str(error) for error in self.errors)


class WeatherError(GrowerError):
    """The weather is missing, or too poor to say anything from."""

    exit_code = EXIT_POOR_WEATHER


class TooLittleWeatherError(WeatherError):
    """There are readings, but up to the day asked about too few to say anything from."""


class NotFetchedError(WeatherError):
    """What a service has could not be fetched; `cause` is what went wrong, part of the problem told."""

    def __init__(self, problem: str, *, hint: str, cause: str) -> None:
        self.cause = cause
        super().__init__(problem, hint=hint)

    def __reduce__(self) -> tuple[object, ...]:
        """From a worker it comes as it was."""
        return partial(type(self), hint=self.hint, cause=self.cause), (self.problem,)


class DeliveryError(GrowerError):
    """The report could not be delivered to everybody it is for."""

    exit_code = EXIT_NOT_DELIVERED
