"""Files that a command writes where its user said."""

from __future__ import annotations

from pathlib import Path

import click

from season_engine.errors import GrowerError
from season_engine.files.whole import write_whole


def refuse_existing(out: Path) -> None:
    """Raise GrowerError where there is such a file: what took a person's while to make is never replaced."""
    if out.exists():
        raise GrowerError("There is such a file already.", hint="Name another with --out.", file=out)


def write_out(file: Path, content: str | bytes, *, asked: Path | None = None) -> None:
    """Write a file whole and say so; raise GrowerError, of the path that was asked for, where it can't be."""
    try:
        write_whole(file, content)
    except OSError as error:
        raise GrowerError(f"nothing can be written here: {error.strerror}.", file=asked or file) from None
    click.echo(f"wrote {file.absolute()}", err=True)
