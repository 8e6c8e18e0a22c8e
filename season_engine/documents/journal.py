"""What `journal list --json` prints."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Literal

from pydantic import Field

from season_engine.documents.model import Document
from season_engine.documents.values import Chance, Date, SizeOrNone, Some, Stage
from season_engine.note import Amount, Details, Off, Sighting, Sign, State
from season_engine.workspace.journal_facts import facts_text
from season_engine.workspace.journal_known import JournalLine


class NotedDetails(Document):
    """What a line says beside its stage and its job; null or empty where it says nothing of that."""

    amount: Amount | None = Field(description="How much of the tree's strength the job took.")
    share: Chance | None = Field(description="Of the roots or of the foliage that the job took.")
    side: str
    signs: tuple[Sign, ...] = Field(description="Of trouble at the roots.")
    states: tuple[State, ...] = Field(description="What the tree is from that day on.")
    off: tuple[Off, ...] = Field(description="What was taken off it again.")
    pot: str = Field(description="The new one, in the grower's words.")
    pot_l: SizeOrNone = Field(description="Its litres, where the words give a size.")
    moved_to: str = Field(description="The site it was moved to.")
    season: Literal["good", "bad"] | None = Field(description="How the year went for the tree.")
    went: Literal["well", "badly"] | None = Field(description="How the job turned out.")


class NotedLine(Document):
    """One line of journal.csv."""

    line: Some = Field(description="In journal.csv.")
    date: Date
    entered: Date = Field(description="The day from which it counts as known.")
    site: str
    tree: str | None
    species: str | None
    bbch: Stage | None
    sighting: Sighting
    job: str | None
    note: str
    facts: str = Field(description="The details as journal.csv has them.")
    details: NotedDetails
    taken_back: Date | None = Field(description="The day on which it was taken back; with --all alone.")


class JournalDocument(Document):
    """The lines of the journal that were known on a day, the newest last."""

    as_of: Date
    demo: bool
    lines: tuple[NotedLine, ...]


def journal_document(lines: Iterable[JournalLine], as_of: dt.date, *, demo: bool) -> JournalDocument:
    """What ``journal list --json`` prints."""
    return JournalDocument(as_of=as_of, demo=demo, lines=tuple(map(_line, lines)))


def _line(line: JournalLine) -> NotedLine:
    note = line.note
    return NotedLine(
        line=note.line,
        date=note.date,
        entered=note.known_from,
        site=note.site,
        tree=note.tree,
        species=note.species,
        bbch=note.bbch,
        sighting=note.sighting,
        job=note.job,
        note=note.note,
        facts=facts_text(note.details),
        details=_details(note.details),
        taken_back=line.taken_back,
    )


def _details(details: Details) -> NotedDetails:
    return NotedDetails(
        amount=details.amount,
        share=details.share,
        side=details.side,
        signs=tuple(sorted(details.signs)),
        states=tuple(sorted(details.states)),
        off=tuple(sorted(details.off)),
        pot=details.pot,
        pot_l=details.pot_size.litres if details.pot_size else None,
        moved_to=details.moved_to,
        season=details.season,
        went=details.went,
    )
