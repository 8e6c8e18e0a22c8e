"""`journal`: what was seen or done, in the grower's words."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Container, Mapping
from dataclasses import replace
from pathlib import Path

import click

from season_engine.commands import clock, options
from season_engine.commands.journal_lines import list_lines, undo
from season_engine.errors import GrowerError, InputErrors
from season_engine.files.text import decoded, shortened
from season_engine.note import LAST_STAGE, Details, Note, notes_until
from season_engine.phenology.learning import stage_marker
from season_engine.site import Site
from season_engine.species.catalogue import Species
from season_engine.species.jobs import job_named
from season_engine.species.names import KnownNames
from season_engine.trees.history import history_of
from season_engine.windows.noted import stage_notes
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.journal import LEADS, sighting_of
from season_engine.workspace.journal_append import append_notes
from season_engine.workspace.journal_weight import weight_of
from season_engine.workspace.journal_words import (
    Understood,
    as_remarked,
    noted_stage,
    understand,
)
from season_engine.workspace.workspace import JOURNAL, Workspace


@click.group("journal")
def command() -> None:
    """Keep the journal: stages move the dates to your yard's own, and a tree just worked is left alone."""


command.add_command(list_lines)
command.add_command(undo)


@command.command("add")
@click.argument("words", nargs=-1)
@click.option("--species", help="What it is about, by any of its names.")
@click.option("--tree", "tree_id", help="Which tree, by its id or name in trees.csv.")
@click.option("--bbch", type=click.IntRange(0, LAST_STAGE), help="Growth stage by its code.")
@click.option("--job", help="A job done, such as repotting.")
@click.option("--note", "remark", default="", help="Anything else.")
@options.one_site
@options.past_day
@options.workspace_folder
def add(
    words: tuple[str, ...],
    species: str | None,
    tree_id: str | None,
    bbch: int | None,
    job: str | None,
    remark: str,
    site_name: str | None,
    on: dt.date,
    folder: Path,
) -> None:
    """Add a note, given as WORDS, by options, or as lines on standard input.

    Such as: "trident open", "repotted Kettle", "maple not yet open". From a reply to the report copied to
    standard input, lines quoted with > are left out. Nothing is written unless all is understood.
    """
    workspace = options.open_workspace(folder, demo_allowed=False)
    if workspace.demo:
        raise GrowerError(
            "There is no season.toml here, and the demo keeps no notes.",
            hint="Name your folder with --workspace, or make one with `season-engine init`.",
        )
    if words and (bbch is not None or job):
        raise click.UsageError("say the stage or the job in words or by an option, not both")
    names = catalogue_of(workspace).known_names(workspace.trees)

    def jobs_of(kind: str) -> Container[str] | None:
        known = catalogue_of(workspace).get(kind)
        return known.jobs if known else None

    given = _given(names, species, tree_id, bbch, " ".join(remark.split()))
    if job:
        done = job_named(job, jobs_of(given.species) if given.species else None)
        given = replace(given, job=as_remarked(done, given.note))

    def note(line: str) -> Note:
        said = understand(line, names, given.species, jobs_of)
        return _note(workspace, _joined(line, said, given), site_name, on)

    if words:
        notes = [note(" ".join(words))]
    elif bbch is not None or job or given.note:
        notes = [_note(workspace, given, site_name, on)]
    else:
        notes = _each(_lines_on_stdin(), note)
    sites = [entry.site.name for entry in workspace.sites]
    append_notes(workspace.folder / JOURNAL, notes, sites, workspace.trees)
    for one in notes:
        click.echo(f"noted: {_in_words(one, workspace)}")


def _given(
    names: KnownNames,
    species: str | None,
    tree_id: str | None,
    bbch: int | None,
    remark: str,
) -> Understood:
    """What the options say."""
    if species is not None and tree_id is not None:
        raise click.UsageError("give --species or --tree, not both")
    tree = names.tree_called(tree_id) if tree_id is not None else None
    kind = names.species_of(tree) if tree else None
    if species is not None:
        kind = names.species_called(species)
    return Understood(remark, tree, kind, bbch)


def _joined(line: str, said: Understood, given: Understood) -> Understood:
    """The words of a line with what the options add."""
    kind = said.species or given.species
    tree = said.tree or given.tree
    if given.species not in (None, kind) or given.tree not in (None, tree):
        raise GrowerError(f'"{shortened(line)}" names another tree or species than the option does.')
    note = f"{said.note}; {given.note}" if given.note else said.note
    job = as_remarked(said.job, given.note) if said.job else None
    return replace(said, tree=tree, species=kind, job=job, note=note)


def _note(workspace: Workspace, said: Understood, site_name: str | None, on: dt.date) -> Note:
    """The note to write down; raises GrowerError where it lacks a tree, a species or a site."""
    tree = said.tree
    if not (tree or said.species) and (said.bbch is not None or said.job or said.not_yet):
        told = f'"{shortened(said.note)}"' if said.note else "This"
        raise GrowerError(
            f"{told} names no tree and no species.", hint="Name one, or give --tree or --species."
        )
    known = notes_until(workspace.notes, on, read_on=clock.today())
    stands_at = history_of(tree, known, on).tree.site if tree else None
    site = options.the_site(workspace, site_name or stands_at).site
    bbch = said.bbch
    if said.not_yet and bbch is None:
        bbch = _stage_waited_for(said.species or "", workspace, site, on)
    return Note(
        date=on,
        site=site.name,
        tree=tree.id if tree else None,
        species=said.species,
        bbch=bbch,
        job=said.job,
        note=said.note,
        sighting=sighting_of(said.note),
        details=Details(amount=weight_of(said.job, said.note)),
        entered=clock.today(),
    )


def _stage_waited_for(name: str, workspace: Workspace, site: Site, on: dt.date) -> int:
    """The stage that comes after the last one seen this season, of those a species' windows turn on."""
    species = catalogue_of(workspace).get(name)
    staged = _staged_markers(species) if species else {}
    if species:
        season = site.season_on(on).year
        notes = notes_until(workspace.notes, on, read_on=clock.today())
        seen = [note for note in stage_notes(notes, species, site) if note.seen]
        met = {stage_marker(species, note.bbch) for note in seen if note.season == season}
        last = max((at for at, marker in enumerate(staged, start=1) if marker in met), default=0)
        staged = dict(list(staged.items())[last:])
    if not staged:
        raise GrowerError(
            f'"{LEADS["not-yet"]}" alone could be any stage of {name}.',
            hint='Name it, such as "not yet open".',
        )
    return next(iter(staged.values()))


def _staged_markers(species: Species) -> dict[str, int]:
    """Markers with their growth stage, in the order of the windows they open or close."""
    used = (name for window in species.windows for name in (*window.opens, *window.closes))
    return {name: stage for name in used if (stage := species.markers[name].bbch) is not None}


def _lines_on_stdin() -> dict[int, str]:
    """Lines to understand by their number: not the blank ones, and not those quoted from the mail."""
    stream = sys.stdin.buffer
    if stream.isatty():
        raise click.UsageError('say what you saw or did, such as: journal add "trident open"')
    text = decoded(stream.read(), Path("standard input"))
    lines = enumerate(text.splitlines(), start=1)
    found = {number: line for number, line in lines if line.strip() and not line.lstrip().startswith(">")}
    if not found:
        raise GrowerError("There is nothing to note.", hint='Write lines such as "trident open".')
    return found


def _each(lines: Mapping[int, str], note: Callable[[str], Note]) -> list[Note]:
    """Every line as a note; raises InputErrors with all that are not understood."""
    notes, faults = [], []
    for number, line in lines.items():
        try:
            notes.append(note(line))
        except GrowerError as error:
            faults.append(GrowerError(error.problem, hint=error.hint, line=number))
    if faults:
        nothing = "Nothing was written." if len(lines) > 1 else ""
        raise InputErrors([*faults, GrowerError(nothing)] if nothing else faults)
    return notes


def _in_words(note: Note, workspace: Workspace) -> str:
    """A note as it is told back."""
    parts = [_subject(note, workspace)]
    if note.bbch is not None:
        parts.append(noted_stage(note.sighting, note.bbch, note.species))
    if note.job:
        parts.append(note.job)
    if note.bbch is None and note.job is None:
        parts.append(f'"{note.note}"')
    parts.append(f"{note.date.day} {note.date:%b %Y}")
    return f"{', '.join(part for part in parts if part)}, at {note.site}"


def _subject(note: Note, workspace: Workspace) -> str:
    known = catalogue_of(workspace).get(note.species or "")
    kind = known.common[0] if known else note.species or ""
    if note.tree is None:
        return kind
    return f"{workspace.tree_named(note.tree).name or note.tree} ({kind})"
