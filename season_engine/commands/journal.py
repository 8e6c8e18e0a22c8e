"""`journal`: what was seen or done, in the grower's words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from season_engine.commands import completing, options
from season_engine.commands.shape import Command, Group
from season_engine.note import LAST_STAGE


@click.group(
    "journal",
    cls=Group,
    examples=('season-engine journal add "buds swelling on the maple"', "season-engine journal list"),
)
def command() -> None:
    """Keep the journal: stages move the dates to your yard's own, and a tree just worked is left alone."""


@command.command(
    "add",
    cls=Command,
    examples=(
        'season-engine journal add "buds swelling on the maple"',
        'season-engine journal add "repotted p1; a third of the root ball" --on 2025-03-28',
        "season-engine journal add < reply.txt",
    ),
)
@click.argument("words", nargs=-1, shell_complete=completing.trees)
@options.a_species("What it is about, by any of its names.")
@options.a_tree("tree_id", "Which tree, by its id or name in trees.csv.")
@click.option("--bbch", type=click.IntRange(0, LAST_STAGE), help="Growth stage by its code.")
@click.option("--job", metavar="JOB", shell_complete=completing.jobs, help="A job done, such as repotting.")
@click.option("--note", "remark", metavar="TEXT", default="", help="Anything else.")
@options.one_site
@options.past_day
@options.workspace_folder
def add(**said: Any) -> None:
    """Add a note, given as WORDS, by options, or as lines on standard input.

    Such as: "trident open", "repotted Kettle", "maple not yet open". From a reply to the report copied to
    standard input, lines quoted with > are left out. A line may tell of several trees; what isn't plain is
    kept as a note. Nothing is written unless every line names a tree or says something.
    """
    from season_engine.commands.journal_add import add_notes

    add_notes(**said)


@command.command(
    "list",
    cls=Command,
    examples=("season-engine journal list", "season-engine journal list --tree p1 --since 2025-01-01"),
)
@options.a_tree("tree_name", "Only this tree's, by its id or name in trees.csv.")
@options.a_species("Only this species', its trees included.")
@click.option(
    "--since", callback=options.as_day, metavar="DATE", help="Only those of that day and later ones."
)
@click.option("--all", "everything", is_flag=True, help="Also the lines that were taken back, marked.")
@options.workspace_folder
@options.on_day
@options.as_json
def list_lines(**asked: Any) -> None:
    """List the lines of the journal that were known on a day, by their number in the file, newest last."""
    from season_engine.commands.journal_lines import tell_lines

    tell_lines(**asked)


@command.command(
    "undo",
    cls=Command,
    examples=("season-engine journal undo", "season-engine journal undo 3"),
)
@click.argument("line", type=click.IntRange(min=1), required=False)
@options.workspace_folder
def undo(line: int | None, folder: Path) -> None:
    """Take back the line entered last, or LINE as `journal list` numbers it.

    Nothing is deleted: a line is added that takes it back from today, and past days stay as they were judged.
    """
    from season_engine.commands.journal_lines import take_back

    take_back(line, folder)
