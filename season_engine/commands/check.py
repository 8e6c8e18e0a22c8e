"""`check`: one job on one species or tree, judged today."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import click

from season_engine.commands import options
from season_engine.pipeline import answer
from season_engine.report.answer import answer_text
from season_engine.report.document import assessment_document, json_text
from season_engine.species.schema import Size
from season_engine.windows.assessment import Assessment
from season_engine.workspace.jobs import job_named

EXIT_BY_VERDICT = {"wait": 10, "soon": 10, "closed": 11, "not-here": 12}
EXIT_HOLD = 13


@click.command("check")
@click.argument("job")
@click.option("--species", help="Botanical or common name.")
@click.option("--tree", "tree_id", help="Id of a tree in trees.csv, instead of a species.")
@options.one_site
@click.option("--size", type=click.Choice(["small", "medium", "large"]), help="Size of the tree.")
@click.option("--window", help="Which window, where the job has several in a season.")
@click.option("--explain", "explained", is_flag=True, help="Show the trail behind every date.")
@options.workspace_folder
@options.on_day
@options.as_json
def command(
    job: str,
    species: str | None,
    tree_id: str | None,
    site_name: str | None,
    size: Size | None,
    window: str | None,
    explained: bool,
    folder: Path,
    on: dt.date,
    as_json: bool,
) -> None:
    """Say whether it is too early, or too late, for JOB.

    Exits 0 when it may be done, 10 too early, 11 too late, 12 no such window here, 13 open but hold.
    """
    if (species is None) == (tree_id is None):
        raise click.UsageError("give either --species or --tree")
    job = job_named(job)
    workspace = options.open_workspace(folder)
    tree = workspace.tree_named(tree_id) if tree_id else None
    entry = options.the_site(workspace, site_name or (tree.site if tree else None))
    found = answer(
        workspace, entry, job, on, species=species, tree=tree, size=size, window=window, explained=explained
    )
    text = (
        json_text(assessment_document(found, workspace.units))
        if as_json
        else answer_text(found, workspace.units)
    )
    click.echo(text, nl=False)
    sys.exit(exit_code(found))


def exit_code(found: Assessment) -> int:
    """As the outside contract fixes it."""
    if found.verdict in EXIT_BY_VERDICT:
        return EXIT_BY_VERDICT[found.verdict]
    return 0 if found.today in ("do", "only-with-shelter") else EXIT_HOLD
