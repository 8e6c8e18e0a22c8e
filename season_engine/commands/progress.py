"""How far a long piece of work is, on stderr: a bar with the time left, or now and then a line."""

from __future__ import annotations

import sys
import time
from typing import Any

import click

EVERY_S = 30.0  # between two lines where there is no terminal
_CLEARED = f"\r{'':79}\r"


class Progress:
    """A bar on a terminal; elsewhere a line every half minute, or none at all if `quiet`."""

    def __init__(self, label: str, *, quiet: bool = False) -> None:
        self._label, self._quiet = label, quiet
        self._terminal = sys.stderr.isatty()
        self._bar: Any = None

    def __enter__(self) -> Progress:
        self._began = self._told = time.monotonic()
        if self._terminal:
            click.echo(f"\r{self._label} ...", nl=False, err=True)
        return self

    def __exit__(self, *error: object) -> None:
        if self._bar is not None:
            self._bar.render_finish()  # which brings the cursor back
        elif self._terminal:
            click.echo(_CLEARED, nl=False, err=True)

    def show(self, done: int, of: int) -> None:
        """Move on to `done` of so many."""
        if self._terminal:
            self._draw(done, of)
        elif not self._quiet and (now := time.monotonic()) - self._told >= EVERY_S and 0 < done < of:
            self._told = now
            left = _in_words((now - self._began) / done * (of - done))
            click.echo(f"{self._label}: {done} of {of}, {left} left", err=True)

    def _draw(self, done: int, of: int) -> None:
        if self._bar is None:
            self._bar = click.progressbar(length=of, label=self._label, file=sys.stderr)
        self._bar.update(done - self._bar.pos)


def _in_words(seconds: float) -> str:
    minutes = round(seconds / 60)
    if minutes < 1:
        return "less than a minute"
    return "about a minute" if minutes == 1 else f"about {minutes} minutes"


def downloading(done: int, of: int) -> None:
    """On a terminal, how many files of a weather station's are there."""
    if sys.stderr.isatty():
        click.echo(f"\rFetching temperatures: {done} of {of} years", nl=False, err=True)
        if done == of:
            click.echo(_CLEARED, nl=False, err=True)
