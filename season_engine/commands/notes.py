"""`notes`: a yard's notes for others, by choice."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import click

from season_engine.commands import options
from season_engine.commands.shape import Command, Group
from season_engine.files.text import shortened

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,39}")


def _code(_ctx: click.Context, option: click.Parameter, value: str) -> str:
    if not _CODE.fullmatch(value):
        message = f'"{shortened(value)}" is no code; write up to 40 letters, digits and hyphens.'
        raise click.BadParameter(message, param=option)
    return value


@click.group("notes", cls=Group, examples=("season-engine notes export --out my-notes.zip",))
def command() -> None:
    """Share your notes of growth stages, by choice, so that the catalogue's numbers can be measured."""


@command.command(
    "export",
    cls=Command,
    examples=(
        "season-engine notes export --out my-notes.zip",
        "season-engine notes export --code riverside --yes",
    ),
)
@options.some_sites
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    default=Path("shared-notes.zip"),
    show_default=True,
    help="File to write.",
)
@click.option(
    "--code",
    callback=_code,
    default="yard",
    show_default=True,
    help="What the yard is called in it, instead of its name; of several, the first part.",
)
@click.option("--yes", is_flag=True, help="Ask nothing.")
@options.workspace_folder
@options.on_day
def export(site_names: tuple[str, ...], out: Path, code: str, yes: bool, folder: Path, on: dt.date) -> None:
    """Write the growth stages you noted, and those seasons' temperatures, to give to whom you like.

    No names and no words of yours go into it, and no place finer than a tenth of a degree. What does is told
    before it is written. Several files of this kind are fitted on by `fit-catalogue`.
    """
    from season_engine.commands.notes_export import export_notes

    export_notes(site_names, out, code, yes, folder, on)
