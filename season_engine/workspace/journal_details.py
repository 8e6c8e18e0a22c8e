"""What the note of a line written by hand says beside its stage and job, and which repotting it tells of."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from functools import lru_cache

from season_engine.note import NO_DETAILS, Amount, Details
from season_engine.species.jobs import JOBS
from season_engine.species.names import KnownNames
from season_engine.workspace.diary.facts import FULL, SECTION, SLIP, Said
from season_engine.workspace.diary.notes import Piece, both, pieces_of
from season_engine.workspace.diary.quantities import AMOUNTS, CUTS, amount_of, share_of, speaks_of_crown
from season_engine.workspace.diary.reading import Heard, read_line
from season_engine.workspace.diary.tokens import Day, folded_set, line_tokens

_NOBODY = KnownNames({}, ())
PRUNING = folded_set("thinned thinning pruned pruning cut cuts cutting work geschnitten ausgelichtet schnitt")
DEGREES = folded_set("very quite fairly rather only just sehr recht ziemlich nur")
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
    return replace(whole, amount=_cut_amount(note)) if job in CUTS else whole


def _cut_amount(note: str) -> Amount | None:
    """How heavy a pruning was, by the clauses of a note about it."""
    found = {_of_clause(line_tokens(clause)) for clause in re.split("[;,.:]", note)}
    return next((amount for amount in AMOUNTS if amount in found), None)


def _of_clause(words: list[str]) -> Amount | None:
    pruned = not PRUNING.isdisjoint(words) or all(
        word in DEGREES or amount_of("", [word], None, None) for word in words
    )
    share = share_of(words)
    crown = share if speaks_of_crown(words) else None
    if not pruned and crown is None:
        return None
    return amount_of("structural-pruning", words, None, crown)


def job_with_remark(job: str, remark: str) -> str:
    """A job as a free remark tells more of it: a repotting may be of a section, or without root work."""
    if job != FULL or not remark:
        return job
    return next((one.job for one in _pieces(job, remark) if one.job in _ROOTS), job)


def _pieces(job: str | None, note: str) -> list[Piece]:
    """The note's pieces as if it followed the job."""
    reading = read_line(
        note, _NOBODY, dt.date.max, jobs_of=lambda _: (job,) if job is not None and job in JOBS else None
    )
    said = [one for heard in reading.heard for one in heard.said]
    before = [(Said(jobs=[(job, NO_DETAILS)]), Day())] if job else []
    return pieces_of(Heard(None, [*before, *said]))
