"""`measures`: daily chill and heat."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import click

from season_engine.commands import options
from season_engine.errors import GrowerError
from season_engine.files import write_whole
from season_engine.pipeline import read_weather
from season_engine.report.measures_csv import measures_csv


@click.command("measures")
@options.one_site
@click.option("--from", "first", callback=options.as_day, metavar="DATE", help="First day of the table.")
@click.option("--to", "last", callback=options.as_day, metavar="DATE", help="Last day of the table.")
@click.option("--csv", "file", type=click.Path(dir_okay=False, path_type=Path), help="File to write to.")
@click.option("--base", "base_c", type=float, default=5.0, show_default=True, help="Base temperature, degC.")
@click.option("--upper", "upper_c", type=float, help="Cap on the daily mean for degree days, degC.")
@options.workspace_folder
@options.on_day
def command(
    site_name: str | None,
    first: dt.date | None,
    last: dt.date | None,
    file: Path | None,
    base_c: float,
    upper_c: float | None,
    folder: Path,
    on: dt.date,
) -> None:
    """Print daily chill and heat as CSV, one row a day, each column that day's increment."""
    workspace = options.open_workspace(folder)
    entry = options.the_site(workspace, site_name)
    weather = read_weather(workspace, entry, on)
    text = measures_csv(entry.site, weather, first=first, last=last, base_c=base_c, upper_c=upper_c)
    if weather.invented and not workspace.demo:  # which has said so
        click.echo(f"The weather of {entry.site.name} is invented.", err=True)
    if file is None:
        click.echo(text, nl=False)
        return
    try:
        write_whole(file, text)
    except OSError as error:
        raise GrowerError(f"nothing can be written here: {error.strerror}.", file=file) from None
    click.echo(f"wrote {file}", err=True)
