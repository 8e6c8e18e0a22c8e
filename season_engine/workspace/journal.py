"""journal.csv: what was seen and what was done, one a line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.foreign_values import whole_number
from season_engine.files.text import shortened
from season_engine.note import LAST_STAGE, Details, Note, Sighting
from season_engine.species.jobs import job_named
from season_engine.tree import Tree
from season_engine.workspace.journal_weight import weight_of

COLUMNS = ("date", "site", "tree", "species", "bbch", "job", "note")
REQUIRED = ("date",)
# How the note of a stage begins that was looked for in vain, or had come before.
LEADS: Mapping[Sighting, str] = {"not-yet": "not yet", "already": "already"}


def read_journal(path: Path, sites: Sequence[str], trees: Iterable[Tree]) -> tuple[Note, ...]:
    """Read journal.csv; `sites` are the names in season.toml.

    A line needs a date, something seen, done or said, and the tree or species a stage or job belongs to.
    Its site is the one written, else the tree's, else the only one there is. Raises GrowerError where the
    file can't be read, InputErrors with every fault in it.
    """
    sheet = Sheet(path, COLUMNS, REQUIRED)
    by_id = {tree.id: tree for tree in trees}
    notes = [_note(row, sites, by_id) for row in sheet]
    sheet.finish()
    return tuple(notes)


def _note(row: Row, sites: Sequence[str], trees: Mapping[str, Tree]) -> Note:
    row.needed("date")
    tree = trees.get(row.known("tree", trees, "tree") or "")
    note = Note(
        date=row.day("date", whole=True) or dt.date.min,
        site=_site(row, sites, tree),
        tree=tree.id if tree else None,
        species=row.words("species") or (tree.species if tree else None),
        bbch=_stage(row),
        job=_job(row),
        note=row.text("note"),
        sighting=sighting_of(row.text("note")),
        line=row.line,
    )
    if not (row.text("bbch") or row.text("job") or note.note):
        row.fault(None, "This line says nothing.", "Fill in bbch, job or note.")
    elif (row.text("bbch") or row.text("job")) and not (row.text("tree") or note.species):
        row.fault("tree", "A stage or a job needs the tree or species it was seen or done on.")
    return replace(note, details=Details(amount=weight_of(note.job, note.note)))


def sighting_of(words: str) -> Sighting:
    """Whether a stage was seen on its day, by how the words about it begin."""
    words = words.casefold()
    return next((sighting for sighting, lead in LEADS.items() if words.startswith(lead)), "seen")


def _site(row: Row, sites: Sequence[str], tree: Tree | None) -> str:
    if row.text("site"):
        return row.known("site", sites, "site") or ""
    if tree is not None:
        return tree.site
    if len(sites) == 1:
        return sites[0]
    if not row.text("tree"):  # an unknown tree is a fault of its own
        row.fault("site", "site is empty, and there is no tree to tell it from.")
    return ""


def _stage(row: Row) -> int | None:
    value = row.words("bbch")
    if not value:
        return None
    if (stage := whole_number(value, 0, LAST_STAGE)) is not None:
        return stage
    hint = "Such as 01 bud swelling begins, 07 bud burst begins, 11 first leaf, 61 first flowers."
    row.fault("bbch", f'bbch must be a whole number from 0 to {LAST_STAGE}; got "{shortened(value)}".', hint)
    return None


def _job(row: Row) -> str | None:
    value = row.words("job")
    if not value:
        return None
    try:
        return job_named(value)
    except GrowerError as unknown:
        row.fault("job", unknown.problem, unknown.hint)
        return None
