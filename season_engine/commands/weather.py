"""`weather`: what temperatures there are."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from season_engine.commands import options
from season_engine.commands.colour import with_warnings
from season_engine.commands.shape import Command
from season_engine.locale import ENGLISH


@click.command(
    "weather",
    cls=Command,
    examples=("season-engine weather", "season-engine weather --refresh"),
)
@options.workspace_folder
@options.on_day
@options.some_sites
@click.option("--refresh", is_flag=True, help="Read the source again instead of the kept copy.")
@options.as_json
def command(folder: Path, on: dt.date, site_names: tuple[str, ...], refresh: bool, as_json: bool) -> None:
    """Show what temperatures there are, their faults and gaps."""
    from season_engine.pipeline import read_weather_ahead
    from season_engine.prints.weather import weather_text
    from season_engine.words.speech import speaking

    workspace = options.open_workspace(folder)
    entries = options.the_sites(workspace, site_names)
    read = [(entry.site, read_weather_ahead(workspace, entry, on, refresh=refresh)) for entry in entries]
    if as_json:
        from season_engine.documents.model import json_text
        from season_engine.documents.weather import weather_document

        text = json_text(weather_document(read, on, workspace.units))
    else:
        with speaking(ENGLISH, workspace.units):
            text = with_warnings(weather_text(read, on))
    click.echo(text, nl=False)
