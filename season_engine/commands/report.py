"""`report`: the weekly report, written to a folder and, where asked for, delivered."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from season_engine.commands import options
from season_engine.commands.shape import Command


@click.command(
    "report",
    cls=Command,
    examples=(
        "season-engine report",
        "season-engine report --open",
        "season-engine report --email --preview",
    ),
)
@options.workspace_folder
@options.on_day
@options.some_sites
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for the reports.")
@click.option("--open", "opened", is_flag=True, help="Open the page in the browser.")
@click.option("--email", is_flag=True, help="Send it, once a week, as season.toml says.")
@click.option("--again", is_flag=True, help="With --email: send it even to those who have it.")
@click.option(
    "--dry-run", is_flag=True, help="With --email: say who would get what, and try the login; send nothing."
)
@click.option("--preview", is_flag=True, help="With --email: write the mail to look at; send nothing.")
@click.option("--verbose", is_flag=True, help="With --email: say what is done.")
@options.as_json
def command(**asked: Any) -> None:
    """Write this week's report as HTML, text and JSON; with --email, deliver it too.

    With --email it is silent unless something fails, so that it can be run every day by a timer.
    """
    if (asked["again"] or asked["dry_run"] or asked["preview"]) and not asked["email"]:
        raise click.UsageError("--again, --dry-run and --preview go with --email.")
    from season_engine.commands.report_run import Order, run

    run(Order(**asked))
