"""`report`: the weekly report, written to a folder and, where asked for, delivered."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path

import click

from season_engine.commands import clock, options
from season_engine.delivery.deliver import Delivery, deliver, refuse_to_deliver, would_deliver, would_reach
from season_engine.delivery.folder import recover, write_report
from season_engine.delivery.lock import one_run_in
from season_engine.delivery.log import LOG, kept_log
from season_engine.delivery.preview import write_previews
from season_engine.documents.model import json_text
from season_engine.documents.report import report_document
from season_engine.errors import EXIT_POOR_WEATHER, GrowerError, WeatherError
from season_engine.pipeline import make_report
from season_engine.report.contents import Report
from season_engine.report.said_before import statements
from season_engine.verify.own_record import add_to_record, read_record
from season_engine.workspace.workspace import SiteEntry, Workspace


@click.command("report")
@options.workspace_folder
@options.on_day
@options.some_sites
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for the reports.")
@click.option("--email", is_flag=True, help="Send it, once a week, as season.toml says.")
@click.option("--again", is_flag=True, help="With --email: send it even to those who have it.")
@click.option(
    "--dry-run", is_flag=True, help="With --email: say who would get what, and try the login; send nothing."
)
@click.option("--preview", is_flag=True, help="With --email: write the mail to look at; send nothing.")
@click.option("--verbose", is_flag=True, help="With --email: say what is done.")
@options.as_json
def command(
    folder: Path,
    on: dt.date,
    site_names: tuple[str, ...],
    out: Path | None,
    email: bool,
    again: bool,
    dry_run: bool,
    preview: bool,
    verbose: bool,
    as_json: bool,
) -> None:
    """Write this week's report as HTML, text and JSON; with --email, deliver it too.

    With --email it is silent unless something fails, so that it can be run every day by a timer.
    """
    if (again or dry_run or preview) and not email:
        raise click.UsageError("--again, --dry-run and --preview go with --email.")
    leaves = email and (dry_run or not preview)  # this machine, or would
    workspace = options.open_workspace(folder, demo_allowed=not leaves)
    entries = options.the_sites(workspace, site_names)
    out = out or workspace.reports_folder
    with ExitStack() as run:
        if leaves:
            refuse_to_deliver(workspace)
            run.enter_context(kept_log(workspace.reports_folder, verbose=verbose))
        run.enter_context(one_run_in(out))
        report = _read(workspace, entries, on, out)
        written = write_report(report, out, every_site=len(entries) == len(workspace.sites))
        _keep_what_was_said(workspace, report)
        if verbose or not email or sys.stderr.isatty():
            click.echo(f"wrote {written}", err=True)
        if as_json:
            click.echo(json_text(report_document(report)), nl=False)
        refused = _tell_refusals(report)
        if email:
            part = ", ".join(entry.site.name for entry in entries) if site_names else ""
            delivery = Delivery(workspace, report, written, clock.now(), part, again)
            _send(delivery, preview=preview, dry_run=dry_run)
    if refused:
        sys.exit(EXIT_POOR_WEATHER)


def _read(workspace: Workspace, entries: Sequence[SiteEntry], on: dt.date, out: Path) -> Report:
    """The report; raises WeatherError where the weather of the only site is too poor."""
    recover(out)
    hidden = not sys.stderr.isatty()
    with click.progressbar(entries, label="Reading the seasons", file=sys.stderr, hidden=hidden) as shown:
        report = make_report(workspace, shown, on)
    (first, *others) = report.sites
    if first.refusal and not others:
        raise WeatherError(first.refusal)
    return report


def _keep_what_was_said(workspace: Workspace, report: Report) -> None:
    """Add it to the record; where that can't be done the report still goes out."""
    said = statements(report, clock.today())
    if not said:
        return
    file = workspace.record_file
    try:
        add_to_record(file, read_record(file, report.as_of), said)
    except (OSError, GrowerError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        message = f"What this report says can't be added to {file.name}: {reason}"
        click.echo(message, err=True)
        LOG.warning(message)


def _tell_refusals(report: Report) -> bool:
    refusals = [site.refusal for site in report.sites if site.refusal]
    for refusal in refusals:
        click.echo(refusal, err=True)
        LOG.error(refusal)
    return bool(refusals)


def _send(delivery: Delivery, *, preview: bool, dry_run: bool) -> None:
    """Deliver it; or write the mails, or say who would get them and whether they would get through."""
    if preview:
        for line in write_previews(delivery):
            click.echo(line, err=True)
    if dry_run:
        for line in would_deliver(delivery):
            click.echo(line, err=True)
        if reached := would_reach(delivery):
            click.echo(reached, err=True)
    if not preview and not dry_run:
        deliver(delivery)
