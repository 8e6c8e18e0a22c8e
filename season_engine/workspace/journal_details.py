"""What the note of a line written by hand says beside its stage and job, and which repotting it tells of."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import lru_cache

from season_engine.note import NO_DETAILS, Details
from season_engine.species.jobs import JOBS
from season_engine.species.names import KnownNames
from season_engine.workspace.diary.facts import FULL, SECTION, SLIP, Said
from season_engine.workspace.diary.notes import Piece, both, pieces_of
from season_engine.workspace.diary.reading import Heard, read_line
from season_engine.workspace.diary.tokens import Day

_NOBODY = KnownNames({}, ())
_ROOTS = frozenset({FULL, SECTION, SLIP})


@lru_cache(maxsize=4096)
def details_of(job: str | None, note: str) -> Details:
    """What a note says beside its stage and its job, of which `job` may be written beside it."""
    if not note.strip():
        return NO_DETAILS
    pieces = _pieces(job, note)
    whole = NO_DETAILS
    for piece in pieces:
        own = piece.job is None or piece.job == job or {piece.job, job} <= _ROOTS
        details = piece.details if own else replace(piece.details, amount=None, share=None, side="")
        whole = both(whole, details)
    return whole


def job_with_remark(job: str, remark: str) -> str:
    """A job as a free remark tells more of it: a repotting may be of a section, or without root work."""
    if job != FULL or not remark:
        return job
    return next((one.job for one in _pieces(job, remark) if one.job in _ROOTS), job)


def _pieces(job: str | None, note: str) -> list[Piece]:
    """The note's pieces as if it followed the job."""
    reading = read_line(note, _NOBODY, dt.date.max, jobs_of=lambda _: (job,) if job in JOBS else None)
    said = [one for heard in reading.heard for one in heard.said]
    before = [(Said(jobs=[(job, NO_DETAILS)]), Day())] if job else []
    return pieces_of(Heard(None, [*before, *said]))
