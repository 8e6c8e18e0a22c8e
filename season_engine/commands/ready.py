"""`ready`: whether all is in place for the next report."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from season_engine.commands import clock, options
from season_engine.commands.colour import with_states
from season_engine.commands.progress import Progress
from season_engine.commands.shape import Command
from season_engine.locale import ENGLISH


@click.command(
    "ready",
    cls=Command,
    examples=("season-engine ready", "season-engine ready --json"),
)
@options.workspace_folder
@options.as_json
def command(folder: Path, as_json: bool) -> None:
    """Say whether all is in place for next Monday's report, and what to mend where it isn't.

    Files, species, each site's weather, the forecast, folders, the mail server's login, mails that wait, cron
    or systemd, the clock. It logs in to the mail server where one is named, and sends nothing.

    Exits 0 when nothing is to mend; else as the first of 2 (workspace), 3 (weather) and 4 (delivery) says.
    """
    from season_engine.commands.readiness import findings, next_monday
    from season_engine.documents.model import json_text
    from season_engine.documents.ready import ready_document
    from season_engine.prints.ready import ready_text
    from season_engine.words.speech import for_programs, speaking

    now = clock.now()
    with for_programs("degC") if as_json else speaking(ENGLISH, "degC"):
        with Progress("Looking", quiet=True):
            found = tuple(findings(folder, now))
        code = min((one.exit_code for one in found if one.state == "wrong"), default=0)
        monday = next_monday(now.date())
        if as_json:
            text = json_text(ready_document(found, now.date(), monday, code))
        else:
            text = with_states(ready_text(found, monday))
    click.echo(text, nl=False)
    sys.exit(code)
