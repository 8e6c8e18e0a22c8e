"""What a window and its species have noted of themselves, as facts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from season_engine.facts import Text
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Sections, Window


@dataclass(frozen=True, slots=True)
class RivalSchools:
    """Growers disagree, and nobody has chosen: the window's own school, and the others."""

    school: str
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HowDone:
    """How a job is done, whatever the species."""

    job: str


@dataclass(frozen=True, slots=True)
class Noted:
    """A note of the catalogue on the window or the species."""

    text: Text


WindowNote = RivalSchools | HowDone | Noted | Sections


def window_notes(species: Species, window: Window) -> tuple[WindowNote, ...]:
    """Rival schools, notes of job and window, how roots are renewed over the years, the species' notes."""
    return tuple(_notes(species, window))


def _notes(species: Species, window: Window) -> Iterator[WindowNote]:
    if others := species.other_schools(window):
        yield RivalSchools(window.school, others)
    if JOBS[window.job].note:
        yield HowDone(window.job)
    if window.note:
        yield Noted(window.note)
    yield from window.sections
    if species.note:
        yield Noted(species.note)
    if species.root_note and JOBS[window.job].out_of_pot:
        yield Noted(species.root_note)
