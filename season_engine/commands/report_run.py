"""One run of `report`: the seasons read, the report written, shown and delivered."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import click

from season_engine.commands import clock, options
from season_engine.commands.colour import as_fault, as_warning
from season_engine.commands.progress import Progress
from season_engine.delivery.deliver import Delivery, deliver, refuse_to_deliver, would_deliver, would_reach
from season_engine.delivery.folder import PAGE, recover, write_report
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


@dataclass(frozen=True)
class Order:
    """What was asked of `report`, option by option."""

    folder: Path
    on: dt.date
    site_names: tuple[str, ...]
    out: Path | None
    opened: bool
    email: bool
    again: bool
    dry_run: bool
    preview: bool
    verbose: bool
    as_json: bool

    @property
    def leaves(self) -> bool:
        """Whether anything leaves this machine, or would."""
        return self.email and (self.dry_run or not self.preview)


def run(order: Order) -> None:
    """Write the report, and do with it what else was asked for; exits where weather was too poor."""
    workspace = options.open_workspace(order.folder, demo_allowed=not order.leaves)
    entries = options.the_sites(workspace, order.site_names)
    out = order.out or workspace.reports_folder
    with ExitStack() as running:
        if order.leaves:
            refuse_to_deliver(workspace)
            running.enter_context(kept_log(workspace.reports_folder, verbose=order.verbose))
        running.enter_context(one_run_in(out))
        report = _read(workspace, entries, order.on, out, quiet=order.email)
        written = write_report(report, out, every_site=len(entries) == len(workspace.sites))
        _keep_what_was_said(workspace, report)
        if order.verbose or not order.email or sys.stderr.isatty():
            click.echo(f"wrote {written.absolute()}", err=True)
        if order.as_json:
            click.echo(json_text(report_document(report)), nl=False)
        refused = _tell_refusals(report)
        if order.opened:
            _open(written / PAGE)
        if order.email:
            part = ", ".join(entry.site.name for entry in entries) if order.site_names else ""
            delivery = Delivery(workspace, report, written, clock.now(), part, order.again)
            _send(delivery, preview=order.preview, dry_run=order.dry_run)
    if refused:
        sys.exit(EXIT_POOR_WEATHER)


def _open(page: Path) -> None:
    if click.launch(str(page.absolute())):
        click.echo(as_warning(f"No browser can be started here. The page is {page.absolute()}"), err=True)


def _read(
    workspace: Workspace, entries: Sequence[SiteEntry], on: dt.date, out: Path, *, quiet: bool
) -> Report:
    """The report; raises WeatherError where the weather of the only site is too poor."""
    recover(out)
    with Progress("Reading the seasons", quiet=quiet) as progress:
        report = make_report(workspace, _each(entries, progress), on)
    (first, *others) = report.sites
    if first.refusal and not others:
        raise WeatherError(first.refusal)
    return report


def _each(entries: Sequence[SiteEntry], progress: Progress) -> Iterator[SiteEntry]:
    for done, entry in enumerate(entries):
        progress.show(done, len(entries))
        yield entry
    progress.show(len(entries), len(entries))


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
        click.echo(as_warning(message), err=True)
        LOG.warning(message)


def _tell_refusals(report: Report) -> bool:
    refusals = [site.refusal for site in report.sites if site.refusal]
    for refusal in refusals:
        click.echo(as_fault(refusal), err=True)
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
        if reached := would_reach(delivery.workspace):
            click.echo(reached, err=True)
    if not preview and not dry_run:
        deliver(delivery)
