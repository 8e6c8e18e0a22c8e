"""`journal list` and `journal undo`: what the journal holds, and taking a line of it back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import click

from season_engine.commands import clock, options
from season_engine.errors import GrowerError
from season_engine.files.spelling import plain_name
from season_engine.locale import ENGLISH
from season_engine.note import Note
from season_engine.prints.journal_lines import journal_text, note_in_words
from season_engine.words.speech import speaking
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.journal_append import append_withdrawal
from season_engine.workspace.journal_known import last_entered, lines_known
from season_engine.workspace.workspace import JOURNAL, Workspace


def tell_lines(
    tree_name: str | None,
    species: str | None,
    since: dt.date | None,
    everything: bool,
    folder: Path,
    on: dt.date,
    as_json: bool,
) -> None:
    """Print the lines that are asked for and were known on a day."""
    if tree_name is not None and species is not None:
        raise click.UsageError("give --species or --tree, not both")
    workspace = options.open_workspace(folder)
    wanted = _about(workspace, tree_name, species)
    lines = [
        line
        for line in lines_known(workspace.notes, on)
        if wanted(line.note)
        and (since is None or line.note.date >= since)
        and (everything or line.taken_back is None)
    ]
    if as_json:
        from season_engine.documents.journal import journal_document
        from season_engine.documents.model import json_text

        text = json_text(journal_document(lines, on, demo=workspace.demo))
    else:
        with speaking(ENGLISH, workspace.units):
            text = journal_text(lines, lambda note: _subject(note, workspace))
    click.echo(text, nl=False)


def take_back(line: int | None, folder: Path) -> None:
    """Take back a line by its number, or the last one entered, and tell which."""
    workspace = options.open_workspace(folder, demo_allowed=False)
    if workspace.demo:
        raise GrowerError(
            "There is no season.toml here, and the demo keeps no notes.",
            hint="Name your folder with --workspace, or make one with `season-engine init`.",
        )
    today = clock.today()
    if line is None:
        last = last_entered(workspace.notes, today)
        if last is None:
            raise GrowerError("There is no line to take back.", file=folder / JOURNAL)
        line = last.line
    sites = [entry.site.name for entry in workspace.sites]
    note = append_withdrawal(workspace.folder / JOURNAL, line, today, sites, workspace.trees)
    with speaking(ENGLISH, workspace.units):
        told = note_in_words(note, lambda one: _subject(one, workspace))
    click.echo(f"taken back: line {line}, {told}")


def _about(workspace: Workspace, tree_name: str | None, species: str | None) -> Callable[[Note], bool]:
    """Whether a note is about what is asked for; raises GrowerError where that is unknown."""
    names = catalogue_of(workspace).known_names(workspace.trees)
    if tree_name is not None:
        tree = names.tree_called(tree_name)
        return lambda note: note.tree == tree.id
    if species is None:
        return lambda _note: True
    name = names.species_called(species)
    kind = catalogue_of(workspace).get(name)
    if kind is None:
        return lambda note: plain_name(note.species or "") == plain_name(name)
    return lambda note: kind.is_called(note.species or "")


def _subject(note: Note, workspace: Workspace) -> str:
    """The tree by its name with its kind, or the kind."""
    known = catalogue_of(workspace).get(note.species or "")
    kind = known.common[0] if known and known.common else note.species or ""
    if note.tree is None:
        return kind
    return f"{workspace.tree_named(note.tree).name or note.tree} ({kind})"
