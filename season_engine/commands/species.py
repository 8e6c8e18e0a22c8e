"""`species`: which species are known, and all that is known of one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands import completing, options
from season_engine.commands.colour import as_warning
from season_engine.commands.progress import Progress
from season_engine.commands.shape import Command
from season_engine.errors import WeatherError
from season_engine.locale import ENGLISH

if TYPE_CHECKING:
    from season_engine.windows.judge import Prospects
    from season_engine.windows.usual_dates import SpeciesTold
    from season_engine.workspace.workspace import SiteEntry, Workspace

TOLD_WHOLE = 3  # of the species that a word may mean; more are named


@click.command(
    "species",
    cls=Command,
    examples=(
        "season-engine species",
        "season-engine species maple",
        'season-engine species "black pine" --site my-yard',
    ),
)
@click.argument("words", nargs=-1, metavar="[NAME]", shell_complete=completing.trees_and_species)
@options.some_sites
@options.workspace_folder
@options.on_day
@options.as_json
def command(
    words: tuple[str, ...], site_names: tuple[str, ...], folder: Path, on: dt.date, as_json: bool
) -> None:
    """List the species that are known, or tell what is known of those that NAME may mean.

    By any name, a tree's too. Of up to three: group, jobs, what opens and closes each window and when that
    usually is at your sites, what the numbers rest on, and where your own catalogue changes them. Of more it
    gives the names.
    """
    from season_engine.workspace.catalogue import catalogue_of

    workspace = options.open_workspace(folder)
    catalogue = catalogue_of(workspace)
    found = list(catalogue.species)
    if words:
        found = catalogue.known_names(workspace.trees).all_called(" ".join(words))
    kinds = [catalogue.find(name) for name in found]  # a tree may be of a species that nobody knows
    entries = options.the_sites(workspace, site_names) if site_names or not workspace.demo else ()
    told: Sequence[SpeciesTold] = ()
    if words and len(kinds) <= TOLD_WHOLE:
        told = _told(workspace, kinds_named=[kind.name for kind in kinds], entries=entries, on=on)
    invented = bool(told) and any(entry.invented for entry in entries)
    if as_json:
        from season_engine.documents.model import json_text
        from season_engine.documents.species import species_list
        from season_engine.words.speech import for_programs

        with for_programs(workspace.units):
            text = json_text(species_list(kinds, told, demo=workspace.demo, invented=invented))
    else:
        from season_engine.prints.species import groups_text, several_text, species_text
        from season_engine.words.speech import speaking

        with speaking(ENGLISH, workspace.units):
            if told:
                text = species_text(told, invented=invented)
            else:
                text = several_text(kinds) if words else groups_text(kinds)
    click.echo(text, nl=False)


def _told(
    workspace: Workspace, *, kinds_named: Sequence[str], entries: Sequence[SiteEntry], on: dt.date
) -> Sequence[SpeciesTold]:
    """Each species with its windows, and their usual dates at the sites whose weather is good enough."""
    from season_engine.pipeline import trees_at
    from season_engine.species.catalogue import load_catalogue
    from season_engine.species.own_changes import own_changes
    from season_engine.windows.usual_dates import SpeciesTold, windows_told_of
    from season_engine.workspace.catalogue import catalogue_of

    catalogue, theirs = catalogue_of(workspace), load_catalogue()
    own_files = {toml.file for toml in workspace.own_species}
    kept = trees_at(workspace, workspace.sites, on)
    sites = _prospects(workspace, entries, on)
    told = []
    for name in kinds_named:
        kind = catalogue.find(name)
        trees = tuple(tree.id for tree in kept if catalogue.get(tree.species) is kind)
        changes = own_changes(kind, theirs.get(name), own_files)
        told.append(SpeciesTold(kind, windows_told_of(kind, sites), changes, trees))
    return told


def _prospects(workspace: Workspace, entries: Sequence[SiteEntry], on: dt.date) -> list[Prospects]:
    """What is asked of each site; one whose weather is too poor is told and left out."""
    from season_engine.note import notes_until
    from season_engine.pipeline import season_view
    from season_engine.windows.judge import prospects_of
    from season_engine.workspace.catalogue import catalogue_of

    notes, kinds = notes_until(workspace.notes, on), catalogue_of(workspace).get
    found: list[Prospects] = []
    with Progress("Reading the seasons", quiet=True) as progress:
        for done, entry in enumerate(entries, start=1):
            try:
                found.append(prospects_of(season_view(workspace, entry, on), notes, kinds))
            except WeatherError as error:
                click.echo(as_warning(f"No usual dates: {error}"), err=True)
            progress.show(done, len(entries))
    return found
