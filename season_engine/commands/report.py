"""`report`: the weekly report, written to a folder."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import click

from season_engine.commands import options
from season_engine.errors import EXIT_POOR_WEATHER, WeatherError
from season_engine.pipeline import make_report
from season_engine.report.document import json_text, report_document
from season_engine.report.folder import recover, write_report


@click.command("report")
@options.workspace_folder
@options.on_day
@options.some_sites
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for the reports.")
@options.as_json
def command(folder: Path, on: dt.date, site_names: tuple[str, ...], out: Path | None, as_json: bool) -> None:
    """Write this week's report as HTML, text and JSON."""
    workspace = options.open_workspace(folder)
    entries = options.the_sites(workspace, site_names)
    out = out or workspace.reports_folder
    recover(out)
    hidden = not sys.stderr.isatty()
    with click.progressbar(entries, label="Reading the seasons", file=sys.stderr, hidden=hidden) as shown:
        report = make_report(workspace, shown, on)
    refusals = [site.refusal for site in report.sites if site.refusal]
    if refusals and len(entries) == 1:
        raise WeatherError(refusals[0])
    click.echo(f"wrote {write_report(report, out)}", err=True)
    if as_json:
        click.echo(json_text(report_document(report)), nl=False)
    if refusals:
        click.echo("\n".join(refusals), err=True)
        sys.exit(EXIT_POOR_WEATHER)
