"""`jobs`: the jobs there are."""

from __future__ import annotations

import click

from season_engine.commands import options
from season_engine.commands.shape import Command
from season_engine.locale import ENGLISH


@click.command("jobs", cls=Command, examples=("season-engine jobs", "season-engine jobs --json"))
@options.as_json
def command(as_json: bool) -> None:
    """List the jobs: what each takes of a tree, the odds it wants, how else it may be called.

    When each may be done on a species: `season-engine species`.
    """
    from season_engine.words.speech import for_programs, speaking

    if as_json:
        from season_engine.documents.model import json_text
        from season_engine.documents.species import jobs_document

        with for_programs("degC"):
            text = json_text(jobs_document())
    else:
        from season_engine.prints.species import jobs_text

        with speaking(ENGLISH):
            text = jobs_text()
    click.echo(text, nl=False)
