"""What a line says of one tree as notes: one a job and a stage, with the details beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from season_engine.note import NO_DETAILS, Details, Sighting, Sign
from season_engine.workspace.diary.facts import FULL, SECTION, SLIP, Said
from season_engine.workspace.diary.quantities import CUTS
from season_engine.workspace.diary.reading import Heard
from season_engine.workspace.diary.tokens import Day

ROOT_SIGNS: frozenset[Sign] = frozenset({"roots rotten", "water stands", "drains slowly"})
LEAVES = 15  # BBCH: leaves stand spread, the last stage of spring
HARD = 91  # BBCH: growth has hardened
OVER = frozenset({67, 69})  # BBCH: flowers fade, flowering over
TOUCHING = ((93, 95, 97), (10, 11, 15), (61, 65))  # BBCH codes that one tree shows one of at a time
AFTER_BLOOM = "after-bloom-pruning"
ROOT_JOBS = frozenset({FULL, SECTION, SLIP})


@dataclass(frozen=True)
class Piece:
    """One note to be: a stage, a job, or neither."""

    bbch: int | None = None
    job: str | None = None
    sighting: Sighting = "seen"
    details: Details = NO_DETAILS
    date: dt.date | None = None


def pieces_of(heard: Heard, done_here: Container[str] | None = None) -> list[Piece]:
    """The notes that a line gives of one tree."""
    found: list[Piece] = []
    for said, day in _one_root_job(heard.said):
        pieces = [Piece(job=job, details=details, date=day.date) for job, details in said.jobs]
        pieces += [Piece(bbch=bbch, sighting=sighting, date=day.date) for bbch, sighting in said.stages]
        if said.unnamed_stage and not said.stages:
            pieces.append(Piece(sighting=said.unnamed_stage, date=day.date))
        beside = replace(said.details, amount=None)
        if beside.signs & ROOT_SIGNS and any("stinks" in one.remarks for one, _ in heard.said):
            beside = replace(beside, signs=beside.signs | {"sour smell"})
        if pieces:
            pieces[0] = replace(pieces[0], details=both(pieces[0].details, beside))
        elif beside != NO_DETAILS:
            pieces = [Piece(details=beside, date=day.date)]
        given = bool(said.details.amount) and not said.jobs and _give_amount(found, said)
        found += [one for one in pieces if not (given and one.bbch == HARD)]  # "thinned, hard"
    return _merged(_agreeing(_after_bloom(found, done_here)))


def _after_bloom(pieces: Sequence[Piece], done_here: Container[str] | None) -> list[Piece]:
    """A pruning told with the end of flowering is the pruning after bloom, where the kind has one."""
    over = any(piece.bbch in OVER and piece.sighting != "not-yet" for piece in pieces)
    if not over or done_here is None or AFTER_BLOOM not in done_here:
        return list(pieces)
    return [
        replace(one, job=AFTER_BLOOM) if one.job in ("structural-pruning", "cut-back", "trimming") else one
        for one in pieces
    ]


def _agreeing(pieces: Sequence[Piece]) -> list[Piece]:
    """Without stages of which a tree shows one at a time where two are told: one means something else."""

    def doubtful(one: Piece) -> bool:
        return any(
            _exclude(one.bbch, other.bbch)
            for other in pieces
            if other.date == one.date and other.sighting == one.sighting == "seen"
        )

    return [replace(one, bbch=None) if doubtful(one) else one for one in pieces]


def _exclude(one: int | None, other: int | None) -> bool:
    if one is None or other is None or one == other:
        return False
    first, last = sorted((one, other))
    return any(first in row and last in row for row in TOUCHING) or (first <= LEAVES < HARD <= last)


def _one_root_job(said: Sequence[tuple[Said, Day]]) -> list[tuple[Said, Day]]:
    """A repotting with what else was said of it: a section of the ball, or roots left alone."""
    jobs = [job for one, _ in said for job, _ in one.jobs if job in ROOT_JOBS]
    if not jobs:
        return list(said)
    remarks = {remark for one, _ in said for remark in one.remarks}
    meant = jobs[0]
    if FULL in jobs and (SLIP in jobs or "untouched" in remarks):
        meant = SLIP
    elif (
        SECTION in jobs
        and jobs[0] != SLIP
        and not any(one.roots_share for one, _ in said if SECTION not in dict(one.jobs))
    ) or (meant == FULL and "section" in remarks):
        meant = SECTION
    details = [one for said_here, _ in said for job, one in said_here.jobs if job in ROOT_JOBS]
    whole = details[0]
    for one in details[1:]:
        whole = both(whole, one)
    share = next((one.roots_share for one, _ in said if one.roots_share), None)
    whole = replace(whole, share=whole.share or share) if meant != SLIP else replace(whole, share=None)
    kept: list[tuple[Said, Day]] = []
    given = False
    for part, day in said:
        rest = [pair for pair in part.jobs if pair[0] not in ROOT_JOBS]
        first = any(pair[0] in ROOT_JOBS for pair in part.jobs) and not given
        given = given or first
        kept.append((replace(part, jobs=[(meant, whole), *rest] if first else rest), day))
    return kept


def _give_amount(found: list[Piece], said: Said) -> bool:
    """Whether an amount in a clause of its own goes with the job told before; it is given to that."""
    for at in range(len(found) - 1, -1, -1):
        if (
            found[at].job in CUTS | {"defoliation", "wiring", "decandling", "pinching"}
            and not found[at].details.amount
        ):
            found[at] = replace(found[at], details=replace(found[at].details, amount=said.details.amount))
            return True
    return False


def _merged(pieces: Sequence[Piece]) -> list[Piece]:
    """Without a job or stage twice, and with details in a clause of their own put to a note of that day."""
    found: list[Piece] = []
    for piece in pieces:
        at = next((at for at, one in enumerate(found) if _goes_with(one, piece)), None)
        if at is None:
            found.append(piece)
        else:
            keep, other = (piece, found[at]) if _plain(found[at]) else (found[at], piece)
            found[at] = replace(keep, details=both(keep.details, other.details))
    return found


def _plain(piece: Piece) -> bool:
    return piece.job is None and piece.bbch is None and piece.sighting == "seen"


def _goes_with(one: Piece, other: Piece) -> bool:
    if one.date != other.date:
        return False
    same = (one.job, one.bbch, one.sighting) == (other.job, other.bbch, other.sighting)
    return same or _plain(one) or _plain(other)


def both(one: Details, other: Details) -> Details:
    """Two details of the same tree and day together."""
    return Details(
        amount=one.amount or other.amount,
        share=one.share or other.share,
        side=one.side or other.side,
        signs=one.signs | other.signs,
        states=one.states | other.states,
        off=one.off | other.off,
        pot=one.pot or other.pot,
        pot_size=one.pot_size or other.pot_size,
        moved_to=one.moved_to or other.moved_to,
        season=one.season or other.season,
        went=one.went or other.went,
    )
