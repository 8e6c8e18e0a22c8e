"""Options that several commands share, and the workspace they open."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from season_engine.commands import clock, completing
from season_engine.commands.colour import as_warning
from season_engine.commands.own_fault import remember_folder
from season_engine.commands.progress import downloading
from season_engine.errors import GrowerError
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served

if TYPE_CHECKING:  # loaded where a workspace is opened: help and completion wait for nothing
    from season_engine.workspace.workspace import SiteEntry, Workspace


Decorated = TypeVar("Decorated", bound=Callable[..., Any])


def as_day(_ctx: click.Context, option: click.Parameter, value: str | None) -> dt.date | None:
    """A date as written in ISO 8601, of a year the engine reckons with."""
    if value is None:
        return None
    try:
        day = dt.date.fromisoformat(value)
    except ValueError as error:
        raise click.BadParameter(f'"{value}" is not a date; write it as 2026-08-24.', param=option) from error
    if not year_served(day.year):
        message = f"{day} lies outside the years {FIRST_YEAR} to {LAST_YEAR}; only those are reckoned with."
        raise click.BadParameter(message, param=option)
    return day


def _as_today(ctx: click.Context, option: click.Parameter, value: str | None) -> dt.date:
    return as_day(ctx, option, value) or clock.today()


def _as_past_day(ctx: click.Context, option: click.Parameter, value: str | None) -> dt.date:
    day = _as_today(ctx, option, value)
    if day > clock.today():
        raise click.BadParameter(f"{day} has not come yet.", param=option)
    return day


workspace_folder = click.option(
    "--workspace",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path(),
    callback=remember_folder,
    is_eager=True,
    help="Folder with season.toml (default: here).",
)
on_day = click.option(
    "--on", callback=_as_today, metavar="DATE", help="The day to judge as today (default: today)."
)
past_day = click.option(
    "--on", callback=_as_past_day, metavar="DATE", help="The day it was seen or done (default: today)."
)
as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON document on stdout.")
one_site = click.option(
    "--site",
    "site_name",
    metavar="SITE",
    shell_complete=completing.sites,
    help="Which site, where there are several.",
)
some_sites = click.option(
    "--site",
    "site_names",
    metavar="SITE",
    multiple=True,
    shell_complete=completing.sites,
    help="Only this site; may be repeated.",
)


def a_species(told: str) -> Callable[[Decorated], Decorated]:
    """An option for a species by name, completed as it is typed."""
    return click.option("--species", metavar="NAME", shell_complete=completing.species, help=told)


def a_tree(name: str, told: str) -> Callable[[Decorated], Decorated]:
    """An option for a tree by id or name, kept as the argument `name`."""
    return click.option("--tree", name, metavar="TREE", shell_complete=completing.trees, help=told)


def open_workspace(folder: Path, *, demo_allowed: bool = True) -> Workspace:
    """The workspace in `folder`, or the demo, which says that it is one where it is allowed."""
    from season_engine.workspace.workspace import load_workspace

    workspace = load_workspace(folder, opened_at=clock.now(), progress=downloading)
    if workspace.demo and demo_allowed:
        told = "No season.toml here: this is the embedded demo, and its weather is invented."
        click.echo(as_warning(told), err=True)
    return workspace


def the_site(workspace: Workspace, name: str | None) -> SiteEntry:
    """The site of that name, or the only one; raises GrowerError where there are several."""
    if name is not None:
        return workspace.site_named(name)
    if len(workspace.sites) > 1:
        names = ", ".join(entry.site.name for entry in workspace.sites)
        raise GrowerError("there are several sites; say which with --site.", hint=f"They are {names}.")
    return workspace.sites[0]


def the_sites(workspace: Workspace, names: tuple[str, ...]) -> tuple[SiteEntry, ...]:
    """The sites of those names, or all of them."""
    return tuple(workspace.site_named(name) for name in names) or workspace.sites
