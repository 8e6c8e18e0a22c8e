"""`check`: one job on one species or tree, judged today."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Container
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from season_engine.commands import completing, options
from season_engine.commands.colour import with_verdict
from season_engine.commands.shape import Command
from season_engine.errors import GrowerError
from season_engine.locale import ENGLISH

if TYPE_CHECKING:
    from season_engine.species.names import KnownNames
    from season_engine.tree import Size, Tree
    from season_engine.windows.assessment import Assessment
    from season_engine.workspace.workspace import Workspace

EXIT_BY_VERDICT = {"wait": 10, "soon": 10, "closed": 11, "not-here": 12}
EXIT_HOLD = 13


@click.command(
    "check",
    cls=Command,
    examples=(
        'season-engine check repotting "black pine"',
        "season-engine check wiring j1 --explain",
        "season-engine check repotting maple --on 2025-03-20",
    ),
)
@click.argument("job", shell_complete=completing.jobs)
@click.argument("words", nargs=-1, metavar="[TREE|SPECIES]", shell_complete=completing.trees_and_species)
@options.a_species("A species, by any of its names, rather than one of your trees.")
@options.a_tree("tree_name", "A tree, by its id or name in trees.csv.")
@options.one_site
@click.option("--size", type=click.Choice(["small", "medium", "large"]), help="Size of the tree.")
@click.option("--window", metavar="NAME", help="Which window, where the job has several in a season.")
@click.option("--explain", "explained", is_flag=True, help="Show the trail behind every date.")
@options.workspace_folder
@options.on_day
@options.as_json
def command(
    job: str,
    words: tuple[str, ...],
    species: str | None,
    tree_name: str | None,
    site_name: str | None,
    size: Size | None,
    window: str | None,
    explained: bool,
    folder: Path,
    on: dt.date,
    as_json: bool,
) -> None:
    """Say whether it is too early, or too late, for JOB on a tree or species.

    Name it as you call it: "check repotting Ember", "check repotting trident". Where you keep one tree of a
    species, the species' name means that tree.

    Exits 0 when it may be done, 10 too early, 11 too late, 12 no such window here, 13 open but hold.
    """
    from season_engine.pipeline import answer
    from season_engine.species.jobs import job_named

    if sum((bool(words), species is not None, tree_name is not None)) != 1:
        raise click.UsageError("name a tree or a species, or give either --species or --tree")
    workspace = options.open_workspace(folder)
    asked = _asked(workspace, " ".join(words), species, tree_name, site_name, on)
    job = job_named(job, _done_on(workspace, asked))
    entry = options.the_site(workspace, site_name or asked.site)
    found = answer(
        workspace,
        entry,
        job,
        on,
        species=asked.species,
        tree=asked.tree,
        size=size,
        window=window,
        explained=explained,
    )
    if as_json:
        from season_engine.documents.check import assessment_document
        from season_engine.documents.model import json_text

        text = json_text(assessment_document(found, workspace.units))
    else:
        text = _printed(workspace, found, asked.told)
    click.echo(text, nl=False)
    sys.exit(exit_code(found))


def _printed(workspace: Workspace, found: Assessment, about: str) -> str:
    from season_engine.prints.answer import answer_text
    from season_engine.words.speech import speaking
    from season_engine.words.verdicts import today_words, verdict_words

    with speaking(ENGLISH, workspace.units):
        leads = verdict_words(found), f"Today: {today_words(found).lower()}"
        return with_verdict(answer_text(found, about=about), exit_code(found), *leads)


@dataclass(frozen=True, slots=True)
class _Asked:
    """The tree or species that is asked about, the site that follows from it, and what to say of it."""

    species: str | None = None
    tree: Tree | None = None
    site: str | None = None
    told: str = ""


def _asked(
    workspace: Workspace,
    words: str,
    species: str | None,
    tree_name: str | None,
    site_name: str | None,
    on: dt.date,
) -> _Asked:
    """What is asked about; raises GrowerError where it is nothing known, or may be several."""
    from season_engine.pipeline import trees_at
    from season_engine.workspace.catalogue import catalogue_of

    at = {workspace.site_named(site_name).site.name} if site_name is not None else None
    now = {tree.id: tree for tree in trees_at(workspace, workspace.sites, on)}
    trees = [now.get(tree.id, tree) for tree in workspace.trees]
    names = catalogue_of(workspace).known_names(trees, at)
    if species is not None:
        return _Asked(names.species_called(species))
    meant = names.called(words) if tree_name is None else names.tree_called(tree_name)
    return _of_species(names, meant, words, now) if isinstance(meant, str) else _of_tree(meant)


def _done_on(workspace: Workspace, asked: _Asked) -> tuple[str, ...]:
    """The jobs of the species that is asked about, lighter and heavier ones included."""
    from season_engine.workspace.catalogue import catalogue_of

    return catalogue_of(workspace).find(asked.tree.species if asked.tree else asked.species or "").jobs


def _of_tree(tree: Tree, why: str = "") -> _Asked:
    return _Asked(tree=tree, site=tree.site, told=f"For {_called(tree)}{why}.")


def _of_species(names: KnownNames, species: str, words: str, now: Container[str]) -> _Asked:
    """The only tree of a species, or the species where there are several or none; raises GrowerError.

    `now` holds the ids of the trees that are still there.
    """
    trees = [tree for tree in names.trees_of(species) if tree.id in now]
    if len(trees) == 1:
        return _of_tree(trees[0], f", the only {words} at {trees[0].site}")
    sites = {tree.site for tree in trees}
    if len(sites) > 1:
        from season_engine.species.names import either

        several = either([f"{_called(tree)} at {tree.site}" for tree in trees])
        raise GrowerError(f'"{words}" could be {several}.', hint="Name one, or a site with --site.")
    listed = ", ".join(_called(tree) for tree in trees)
    told = f"For the species; your trees are {listed}: name one for its own answer." if trees else ""
    return _Asked(species, site=next(iter(sites), None), told=told)


def _called(tree: Tree) -> str:
    return f"{tree.id} ({tree.name})" if tree.name else tree.id


def exit_code(found: Assessment) -> int:
    """As the outside contract fixes it."""
    if found.verdict in EXIT_BY_VERDICT:
        return EXIT_BY_VERDICT[found.verdict]
    return 0 if found.may_be_done else EXIT_HOLD
