"""`compare`: the same jobs at several sites."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands import completing, options
from season_engine.commands.progress import Progress
from season_engine.commands.shape import Command
from season_engine.errors import GrowerError
from season_engine.locale import ENGLISH

if TYPE_CHECKING:
    from season_engine.advice.compare import Comparison
    from season_engine.workspace.workspace import SiteEntry, Workspace


@click.command(
    "compare",
    cls=Command,
    examples=(
        "season-engine compare my-yard hilltop",
        'season-engine compare my-yard hilltop --job repotting --species "Japanese maple"',
    ),
)
@click.argument("site_names", nargs=-1, metavar="SITE SITE...", shell_complete=completing.sites)
@click.option("--job", metavar="JOB", shell_complete=completing.jobs, help="Only this job.")
@options.a_species("By any of its names; without it, the species of your trees there.")
@options.workspace_folder
@options.on_day
@options.as_json
def command(
    site_names: tuple[str, ...],
    job: str | None,
    species: str | None,
    folder: Path,
    on: dt.date,
    as_json: bool,
) -> None:
    """Say by how many days jobs come sooner or later at other sites than at the first one named.

    Each past year's weather at one site is held against the same year's at the other.
    """
    from season_engine.pipeline import trees_at
    from season_engine.prints.comparison import comparison_text
    from season_engine.species.jobs import job_named
    from season_engine.words.speech import speaking
    from season_engine.workspace.catalogue import catalogue_of

    workspace = options.open_workspace(folder)
    entries = options.the_sites(workspace, site_names)
    if len(site_names) < 2:
        names = ", ".join(entry.site.name for entry in workspace.sites)
        raise GrowerError("name at least two sites to compare.", hint=f"There are {names}.")
    if len({entry.site.name for entry in entries}) < len(entries):
        raise GrowerError("a site is named twice; compare it with another.")
    job = job_named(job) if job else None
    if species is not None:
        at = {entry.site.name for entry in entries}
        kept = trees_at(workspace, entries, on)
        species = catalogue_of(workspace).known_names(kept, at).species_called(species)
    comparison = compare_sites(workspace, entries, on, job=job, species=species)
    if as_json:
        from season_engine.documents.comparison import comparison_document
        from season_engine.documents.model import json_text

        text = json_text(comparison_document(comparison, workspace.units))
    else:
        with speaking(ENGLISH, workspace.units):
            text = comparison_text(comparison)
    click.echo(text, nl=False)


def compare_sites(
    workspace: Workspace,
    entries: Sequence[SiteEntry],
    on: dt.date,
    *,
    job: str | None = None,
    species: str | None = None,
) -> Comparison:
    """The windows of a species, or of the trees kept at these sites, at the first site and at the others."""
    from season_engine.advice.compare import compare, windows_to_compare
    from season_engine.pipeline import season_view, trees_at
    from season_engine.workspace.catalogue import catalogue_of

    catalogue = catalogue_of(workspace)
    trees = trees_at(workspace, entries, on)
    windows = windows_to_compare(catalogue, trees, job, species)
    unknown = (tree.species for tree in trees if not species and not catalogue.get(tree.species))
    views = []
    with Progress("Reading the seasons") as progress:
        for done, entry in enumerate(entries, start=1):
            views.append(season_view(workspace, entry, on))
            progress.show(done, len(entries))
    return replace(
        compare(views, windows),
        demo=workspace.demo,
        not_covered=tuple(dict.fromkeys(unknown)),
    )
