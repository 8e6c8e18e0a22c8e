"""How far a batch is, how fast, and how long it will still take, on stderr."""

from __future__ import annotations

import sys
import time
from typing import Any

import click

from season_engine.commands.progress import EVERY_S


class Pace:
    """A bar on a terminal, a line now and then in a log."""

    def __enter__(self) -> Pace:
        self._began = self._told = time.monotonic()
        self._bar: Any = None
        return self

    def show(self, done: int, total: int) -> None:
        """Tell that so many sites are done."""
        now = time.monotonic()
        rate = done / max(now - self._began, 1e-9)
        if sys.stderr.isatty():
            if self._bar is None:
                self._bar = click.progressbar(length=total, file=sys.stderr, show_pos=True)
                self._bar.__enter__()
            self._bar.label = f"{rate:.1f} sites a second"
            self._bar.update(done - self._bar.pos)
        elif now - self._told >= EVERY_S or done == total:
            self._told = now
            left = round((total - done) / rate)
            click.echo(f"{done} of {total} sites, {rate:.1f} a second, {_span(left)} left", err=True)

    def __exit__(self, *error: object) -> None:
        if self._bar is not None:
            self._bar.__exit__(*error)


def _span(seconds: int) -> str:
    hours, rest = divmod(seconds, 3600)
    return f"{hours} h {rest // 60} min" if hours else f"{rest // 60} min {rest % 60} s"
