"""journal.csv: what was seen and what was done, one a line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from season_engine.errors import GrowerError
from season_engine.files.csv_rows import Row, Sheet
from season_engine.files.foreign_values import whole_number
from season_engine.files.text import shortened
from season_engine.note import LAST_STAGE, NO_DETAILS, Details, Note, Sighting, taken_back
from season_engine.species.jobs import job_named
from season_engine.tree import Tree
from season_engine.workspace.journal_details import details_of
from season_engine.workspace.journal_facts import NOTHING, read_facts
from season_engine.workspace.journal_sites import as_trees_moved

NEW_COLUMNS = ("facts", "entered", "withdraws")  # which a journal begun before them may lack
# What a grower writes in each.
WRITTEN: Mapping[str, str] = MappingProxyType(
    {
        "date": "The day it was seen or done.",
        "site": "Its site in season.toml; if empty, where the tree stood that day.",
        "tree": "The tree's id in trees.csv.",
        "species": "A species with its site, where no tree of yours is meant.",
        "bbch": "The stage by its code: 00 resting, 01 buds begin to swell, 03 swollen, 07 buds break, "
        "09 green tips, 11 first leaf open, 61 first flowers, 65 full bloom, 93 leaf fall begins.",
        "job": "Such as repotting, decandling, needle-work, wiring, structural-pruning.",
        "note": 'Anything; a text with a comma in it goes in "quotes". One that begins with "not yet" or '
        '"already" says so of the stage.',
        "facts": "What else the line says, as the program keeps it; if empty, what the note says of it.",
        "entered": "The day it was written, if that is not its date: a day before is judged without it.",
        "withdraws": "yes: takes back the line before it that says the same.",
    }
)
COLUMNS = tuple(WRITTEN)
REQUIRED = ("date",)
# How the note of a stage begins that was looked for in vain, or had come before.
LEADS: Mapping[Sighting, str] = {"not-yet": "not yet", "already": "already"}


def read_journal(path: Path, sites: Sequence[str], trees: Iterable[Tree]) -> tuple[Note, ...]:
    """Read journal.csv; `sites` are the names in season.toml.

    A line needs a date, something seen, done or said, and the tree or species a stage or job belongs to.
    Its site is the one written, else where the tree stood that day, else the only one there is. Raises
    GrowerError where the file can't be read, InputErrors with every fault in it.
    """
    sheet = Sheet(path, COLUMNS, REQUIRED)
    by_id = {tree.id: tree for tree in trees}
    notes, without_site = [], set()
    for row in sheet:
        notes.append(_note(row, sites, by_id))
        if not row.text("site"):
            without_site.add(row.line)
    sheet.finish()
    found = as_trees_moved(notes, without_site)
    _check_withdrawals(sheet, found)
    sheet.finish()
    return found


def _check_withdrawals(sheet: Sheet, notes: Sequence[Note]) -> None:
    taken = taken_back(notes)
    for place, note in enumerate(notes):
        if note.withdraws and place not in taken:
            sheet.fault(
                note.line,
                "This takes back a line that isn't there, or is taken back already.",
                column="withdraws",
                hint="It must say the same as a line before it, from date to note; "
                "`season-engine journal undo` writes it so.",
            )


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
        entered=row.day("entered", whole=True),
        withdraws=row.one_of("withdraws", ("yes", "no")) == "yes",
    )
    if row.text("facts"):
        note = replace(note, details=_facts(row, sites))
    else:
        note = replace(note, details=details_of(note.job, note.note))
    _check(row, note)
    return note


def _check(row: Row, note: Note) -> None:
    """Fault a line that says nothing, or of nothing, or was written before its day."""
    if not (
        row.text("bbch") or row.text("job") or note.note or row.text("facts").casefold() not in ("", NOTHING)
    ):
        row.fault(None, "This line says nothing.", "Fill in bbch, job or note.")
    elif (row.text("bbch") or row.text("job")) and not (row.text("tree") or note.species):
        row.fault("tree", "A stage or a job needs the tree or species it was seen or done on.")
    if note.entered and note.date > note.entered:
        row.fault(
            "entered",
            f"entered is {note.entered}, before the line's date: it can't be written before it happened.",
            "Mend one of the two; an empty entered means the date.",
        )


def _facts(row: Row, sites: Sequence[str]) -> Details:
    try:
        return read_facts(row.text("facts"), sites)
    except GrowerError as unknown:
        row.fault("facts", unknown.problem, unknown.hint)
        return NO_DETAILS


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
