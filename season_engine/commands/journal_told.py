"""What `journal add` tells back: one short line a note, what was taken and for which tree."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.note import NO_DETAILS, Details, Note
from season_engine.species.jobs import JOBS
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.journal_words import noted_stage
from season_engine.workspace.workspace import Workspace

HOW_MUCH = "How much? Add light, medium or heavy; heavy is three tenths of the foliage or a main branch."
_OPPOSED = (("weak", "strong"), ("sick", "well"), ("dead", "well"), ("dead", "strong"))


@dataclass(frozen=True)
class Told:
    """A note to be written, with what is asked back."""

    note: Note
    asks: str = ""
    of_all: bool = False  # it was said of the whole yard, and names no tree


def told_back(found: Sequence[Told], before: Iterable[Note], workspace: Workspace) -> list[str]:
    """The lines that tell what was noted."""
    lines = []
    for one in found:
        lines.append(f"noted: {_in_words(one, workspace)}")
        if one.asks:
            lines.append(one.asks)
    if any(_lacks_amount(one.note) for one in found):
        lines.append(HOW_MUCH)
    known = list(before)
    for one in found:
        lines += [
            f"{_subject(one.note, workspace)}: {against}, and both are kept."
            for other in known
            if (against := _contradiction(other, one.note))
        ]
        known.append(one.note)
    return lines


def _lacks_amount(note: Note) -> bool:
    return note.job is not None and JOBS[note.job].varies and note.details.amount is None


def _contradiction(one: Note, other: Note) -> str:
    """Why two notes of one day on one tree can't both be so; empty where they can."""
    if one.tree is None or (one.tree, one.date) != (other.tree, other.date):
        return ""
    for first, second in _OPPOSED:
        if {first, second} <= one.details.states | other.details.states and not (
            {first, second} <= other.details.states
        ):
            return f"noted {first} and {second} on one day"
    if one.bbch is None or other.bbch is None or (one.sighting == "not-yet") == (other.sighting == "not-yet"):
        return ""
    missed, seen = (one, other) if one.sighting == "not-yet" else (other, one)
    if missed.bbch is not None and seen.bbch is not None and _same_course(missed.bbch, seen.bbch):
        stage = noted_stage("not-yet", missed.bbch, missed.species)
        return f"noted {stage} and {noted_stage('seen', seen.bbch, seen.species)} on one day"
    return ""


def _same_course(missed: int, seen: int) -> bool:
    """Whether a stage seen is the one looked for in vain, or later among those of leaves, or of flowers."""
    return missed == seen or (
        missed // 50 == seen // 50 and missed // 10 <= 6 and seen // 10 <= 6 and missed < seen
    )


def _in_words(told: Told, workspace: Workspace) -> str:
    """A note as it is told back: ``Harbour (Japanese black pine): decandling, 12 Dec 2026, at quay``."""
    note = told.note
    parts = []
    if note.bbch is not None:
        parts.append(noted_stage(note.sighting, note.bbch, note.species))
    if note.job:
        parts.append(_with_amount(note.job, note.details))
    parts += _beside(note.details)
    if told.of_all:
        parts = ["kept as a note of the yard"]
    elif not parts:
        parts = ["kept as a note"] if note.tree or note.species else [f'kept as a note, "{note.note}"']
    parts += [f"{note.date.day} {note.date:%b %Y}", f"at {note.site}"]
    subject = _subject(note, workspace)
    return ": ".join(one for one in (subject, ", ".join(parts)) if one)


def _with_amount(job: str, details: Details) -> str:
    share = f"{details.share:.0%}" if details.share else ""
    more = [one for one in (details.amount or "", share, details.side) if one]
    return f"{job} ({', '.join(more)})" if more else job


def _beside(details: Details) -> list[str]:
    """What was taken beside stage and job."""
    if details == NO_DETAILS:
        return []
    parts = [*sorted(details.signs), *sorted(details.states), *(f"{one} off" for one in sorted(details.off))]
    parts += [f"pot {details.pot}"] if details.pot else []
    parts += [f"moved to {details.moved_to}"] if details.moved_to else []
    parts += [f"{details.season} season"] if details.season else []
    return [*parts, f"went {details.went}"] if details.went else parts


def _subject(note: Note, workspace: Workspace) -> str:
    known = catalogue_of(workspace).get(note.species or "")
    kind = known.common[0] if known else note.species or ""
    if note.tree is None:
        return kind
    return f"{workspace.tree_named(note.tree).name or note.tree} ({kind})"
