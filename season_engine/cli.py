"""The commands. What they need is imported when they are called, so that help is quick."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from season_engine.errors import EXIT_POOR_WEATHER, GrowerError

if TYPE_CHECKING:
    from season_engine.workspace.workspace import SiteEntry, Workspace

Command = TypeVar("Command", bound=Callable[..., Any])

EXIT_NOT_YET, EXIT_TOO_LATE, EXIT_NOT_HERE, EXIT_HOLD = 10, 11, 12, 13
_EXIT_BY_VERDICT = {
    "wait": EXIT_NOT_YET,
    "soon": EXIT_NOT_YET,
    "closed": EXIT_TOO_LATE,
    "not-here": EXIT_NOT_HERE,
}


class _Commands(click.Group):
    """Prints a grower's error as it stands and exits with its code."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except GrowerError as error:
            click.echo(str(error), err=True)
            ctx.exit(error.exit_code)


def _day(_ctx: click.Context, option: click.Parameter, value: str | None) -> dt.date | None:
    if value is None:
        return None
    try:
        return dt.date.fromisoformat(value)
    except ValueError as error:
        raise click.BadParameter(f'"{value}" is not a date; write it as 2026-08-24.', param=option) from error


_workspace = click.option(
    "--workspace",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path(),
    help="Folder with season.toml (default: here).",
)
_on = click.option("--on", callback=_day, metavar="DATE", help="The day to judge as today (default: today).")
_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document on stdout.")


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="season_engine", message="%(version)s")
def cli() -> None:
    """When is each tree ready for each heavy job? Worked out from your own weather."""


@cli.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default=Path(), metavar="[DIR]")
def init(folder: Path) -> None:
    """Write a commented workspace to edit into DIR."""
    from season_engine.workspace.start import init_workspace

    for path in init_workspace(folder):
        click.echo(f"wrote {path}", err=True)
    click.echo("Now edit season.toml, then run: season-engine report", err=True)


@cli.command()
@_workspace
@_on
@click.option("--site", "names", multiple=True, help="Only this site; may be repeated.")
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for the reports.")
@_json
def report(folder: Path, on: dt.date | None, names: Sequence[str], out: Path | None, as_json: bool) -> None:
    """Write this week's report as HTML, text and JSON."""
    from season_engine.pipeline import make_report
    from season_engine.report.document import json_text, report_document
    from season_engine.report.folder import recover, write_report

    workspace = _load(folder)
    entries = [workspace.site_named(name) for name in names] or list(workspace.sites)
    out = out or workspace.reports_folder
    recover(out)
    with click.progressbar(
        entries, label="Reading the seasons", file=sys.stderr, hidden=not sys.stderr.isatty()
    ) as shown:
        made = make_report(workspace, shown, on or dt.date.today())
    refusals = [site.refusal for site in made.sites if site.refusal]
    if refusals and len(entries) == 1:
        raise _too_poor(refusals[0])
    written = write_report(made, out)
    click.echo(f"wrote {written}", err=True)
    if as_json:
        click.echo(json_text(report_document(made)), nl=False)
    if refusals:
        click.echo("\n".join(refusals), err=True)
        sys.exit(EXIT_POOR_WEATHER)


@cli.command()
@click.argument("job")
@click.option("--species", help="Botanical or common name.")
@click.option("--tree", "tree_id", help="Id of a tree in trees.csv, instead of a species.")
@click.option("--site", "site_name", help="Which site, where there are several.")
@click.option("--size", type=click.Choice(["small", "medium", "large"]), help="Size of the tree.")
@click.option("--window", help="Which window, where the job has several in a season.")
@_workspace
@_on
@_json
def check(
    job: str,
    species: str | None,
    tree_id: str | None,
    site_name: str | None,
    size: Any,
    window: str | None,
    folder: Path,
    on: dt.date | None,
    as_json: bool,
) -> None:
    """Say whether it is too early, or too late, for JOB.

    Exits 0 when it may be done, 10 too early, 11 too late, 12 no such window here, 13 open but hold.
    """
    from season_engine.pipeline import answer
    from season_engine.report.answer import answer_text
    from season_engine.report.document import assessment_document, json_text
    from season_engine.workspace.jobs import job_named

    if (species is None) == (tree_id is None):
        raise click.UsageError("give either --species or --tree")
    workspace = _load(folder)
    tree = workspace.tree_named(tree_id) if tree_id else None
    entry = _one_site(workspace, site_name or (tree.site if tree else None))
    found = answer(
        workspace,
        entry,
        job_named(job),
        on or dt.date.today(),
        species=species,
        tree=tree,
        size=size,
        window=window,
    )
    if as_json:
        click.echo(json_text(assessment_document(found)), nl=False)
    else:
        click.echo(answer_text(found), nl=False)
    if found.verdict in _EXIT_BY_VERDICT:
        sys.exit(_EXIT_BY_VERDICT[found.verdict])
    if found.today not in ("do", "only-with-shelter"):
        sys.exit(EXIT_HOLD)


@cli.command()
@_workspace
@_on
@click.option("--site", "names", multiple=True, help="Only this site; may be repeated.")
@click.option("--refresh", is_flag=True, help="Read the source again instead of the kept copy.")
@_json
def weather(folder: Path, on: dt.date | None, names: Sequence[str], refresh: bool, as_json: bool) -> None:
    """What temperatures there are, their faults and gaps."""
    from season_engine.pipeline import read_weather
    from season_engine.report.document import json_text, weather_document
    from season_engine.report.weather_text import weather_text

    workspace = _load(folder)
    entries = [workspace.site_named(name) for name in names] or list(workspace.sites)
    day = on or dt.date.today()
    read = [(entry.site, read_weather(workspace, entry, day, refresh=refresh)) for entry in entries]
    if as_json:
        click.echo(json_text(weather_document(read, day)), nl=False)
    else:
        click.echo(weather_text(read, day), nl=False)


@cli.command()
@click.option("--site", "site_name", help="Which site, where there are several.")
@click.option("--from", "first", callback=_day, metavar="DATE", help="First day of the table.")
@click.option("--to", "last", callback=_day, metavar="DATE", help="Last day of the table.")
@click.option("--csv", "file", type=click.Path(dir_okay=False, path_type=Path), help="File to write to.")
@click.option("--base", "base_c", type=float, default=5.0, show_default=True, help="Base temperature, degC.")
@click.option("--upper", "upper_c", type=float, help="Cap on the daily mean for degree days, degC.")
@_workspace
@_on
def measures(
    site_name: str | None,
    first: dt.date | None,
    last: dt.date | None,
    file: Path | None,
    base_c: float,
    upper_c: float | None,
    folder: Path,
    on: dt.date | None,
) -> None:
    """Daily chill and heat as CSV, one row a day."""
    from season_engine.files import write_whole
    from season_engine.pipeline import read_weather
    from season_engine.report.measures_csv import measures_csv

    workspace = _load(folder)
    entry = _one_site(workspace, site_name)
    read = read_weather(workspace, entry, on or dt.date.today())
    text = measures_csv(entry.site, read, first=first, last=last, base_c=base_c, upper_c=upper_c)
    if file is None:
        click.echo(text, nl=False)
    else:
        write_whole(file, text)
        click.echo(f"wrote {file}", err=True)


def _load(folder: Path) -> Workspace:
    from season_engine.workspace.workspace import load_workspace

    workspace = load_workspace(folder)
    if workspace.demo:
        click.echo("No season.toml here: this is the embedded demo, and its weather is invented.", err=True)
    return workspace


def _one_site(workspace: Workspace, name: str | None) -> SiteEntry:
    if name is not None:
        return workspace.site_named(name)
    if len(workspace.sites) > 1:
        names = ", ".join(entry.site.name for entry in workspace.sites)
        raise GrowerError("there are several sites; say which with --site.", hint=f"They are {names}.")
    return workspace.sites[0]


def _too_poor(refusal: str) -> GrowerError:
    from season_engine.errors import WeatherError

    return WeatherError(refusal)


def main() -> None:
    """Run the command line."""
    cli()
