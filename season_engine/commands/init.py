"""`init`: a workspace to start from."""

from __future__ import annotations

from pathlib import Path

import click

from season_engine.workspace.start import init_workspace


@click.command("init")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default=Path(), metavar="[DIR]")
def command(folder: Path) -> None:
    """Write a commented workspace to edit into DIR."""
    for path in init_workspace(folder):
        click.echo(f"wrote {path}", err=True)
    click.echo("Now edit season.toml, then run: season-engine report", err=True)
