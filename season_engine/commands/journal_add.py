"""What `journal add` does: what was seen or done, in the grower's words, written down and told back."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Callable, Container, Mapping
from dataclasses import replace
from pathlib import Path

import click

from season_engine.commands import clock, options
from season_engine.commands.journal_told import Told, told_back
from season_engine.errors import GrowerError, InputErrors
from season_engine.files.text import decoded, shortened
from season_engine.note import Note, notes_until
from season_engine.phenology.stages import stage_marker
from season_engine.site import Site
from season_engine.species.catalogue import Species
from season_engine.species.jobs import job_named
from season_engine.species.names import KnownNames
from season_engine.trees.history import history_of
from season_engine.windows.noted import stage_notes
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.diary.notes import both
from season_engine.workspace.journal import LEADS, sighting_of
from season_engine.workspace.journal_append import append_notes
from season_engine.workspace.journal_details import details_of
from season_engine.workspace.journal_words import Understood, as_remarked, understand
from season_engine.workspace.workspace import JOURNAL, Workspace


def add_notes(
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
    """Write down what was said in words, by options or on standard input, and tell it back."""
    workspace = options.open_workspace(folder, demo_allowed=False)
    _refuse_demo(workspace)
    if words and (bbch is not None or job):
        raise click.UsageError("say the stage or the job in words or by an option, not both")
    names = catalogue_of(workspace).known_names(workspace.trees)

    def jobs_of(kind: str) -> Container[str] | None:
        known = catalogue_of(workspace).get(kind)
        return known.jobs if known else None

    given = _given(names, species, tree_id, bbch, " ".join(remark.split()))
    if job:
        done = job_named(job, jobs_of(given.species) if given.species else None)
        done = as_remarked(done, given.note)
        given = replace(given, job=done, details=details_of(done, given.note))

    yards = [entry.site.name for entry in workspace.sites]

    def told(line: str) -> list[Told]:
        said = understand(
            line, names, given.species, jobs_of, on=on, sites=yards, language=workspace.language
        )
        return [_told(workspace, _joined(line, one, given), site_name, on) for one in said]

    if words:
        found = told(" ".join(words))
    elif bbch is not None or job or given.note:
        found = [_told(workspace, given, site_name, on)]
    else:
        found = _each(_lines_on_stdin(), told)
    before = notes_until(workspace.notes, on, read_on=clock.today())
    append_notes(workspace.folder / JOURNAL, [one.note for one in found], yards, workspace.trees)
    for line in told_back(found, before, workspace):
        click.echo(line)


def _refuse_demo(workspace: Workspace) -> None:
    if workspace.demo:
        raise GrowerError(
            "There is no season.toml here, and the demo keeps no notes.",
            hint="Name your folder with --workspace, or make one with `season-engine init`.",
        )


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
    return Understood(remark, tree, kind, bbch, sighting=sighting_of(remark))


def _joined(line: str, said: Understood, given: Understood) -> Understood:
    """The words of a line with what the options add."""
    if said.tree is None and said.species is None:
        said = replace(said, tree=given.tree, species=given.species)
    elif said.tree is None and given.tree is not None and said.species == given.species:
        said = replace(said, tree=given.tree)
    if given.species not in (None, said.species) or given.tree not in (None, said.tree):
        raise GrowerError(f'"{shortened(line)}" names another tree or species than the option does.')
    note = f"{said.note}; {given.note}" if given.note else said.note
    job = as_remarked(said.job, given.note) if said.job else None
    details = both(said.details, details_of(job, given.note)) if given.note else said.details
    return replace(said, job=job, note=note, details=details)


def _told(workspace: Workspace, said: Understood, site_name: str | None, on: dt.date) -> Told:
    """The note to write down; raises GrowerError where it lacks a tree, a species or a site."""
    tree = said.tree
    of_all = said.whole_yard and (said.bbch is not None or said.job is not None)
    if not (tree or said.species or of_all) and (said.bbch is not None or said.job or said.not_yet):
        told = f'"{shortened(said.note)}"' if said.note else "This"
        slip = catalogue_of(workspace).known_names(workspace.trees).slips_in(said.note)
        hint = slip or "Name one, or give --tree or --species."
        raise GrowerError(f"{told} names no tree and no species.", hint=hint)
    known = notes_until(workspace.notes, on, read_on=clock.today())
    stands_at = history_of(tree, known, on).tree.site if tree else None
    site = options.the_site(workspace, site_name or stands_at).site
    bbch = None if of_all else said.bbch
    if said.not_yet and bbch is None and not of_all:
        bbch = _stage_waited_for(said.species or "", workspace, site, on)
    note = Note(
        date=said.date or on,
        site=site.name,
        tree=tree.id if tree else None,
        species=said.species,
        bbch=bbch,
        job=None if of_all else said.job,
        note=said.note,
        sighting=sighting_of(said.note),
        details=said.details,
        entered=clock.today(),
    )
    return Told(note, said.asks, of_all=of_all)


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


def _each(lines: Mapping[int, str], told: Callable[[str], list[Told]]) -> list[Told]:
    """The notes of every line; raises InputErrors with all lines that are not understood."""
    notes, faults = [], []
    for number, line in lines.items():
        try:
            notes += told(line)
        except GrowerError as error:
            faults.append(GrowerError(error.problem, hint=error.hint, line=number))
    if faults:
        nothing = "Nothing was written." if len(lines) > 1 else ""
        raise InputErrors([*faults, GrowerError(nothing)] if nothing else faults)
    return notes
