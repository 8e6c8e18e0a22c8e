"""Understanding a line in a grower's words: "buds swelling on the trident", "repotted Kettle, fed Rust".

A line with a tree's name is always kept. A fact is taken from it only where its words are plain: a line
understood wrongly is worse than one kept as a note.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from season_engine.errors import GrowerError
from season_engine.files.text import shortened
from season_engine.locale import ENGLISH
from season_engine.note import NO_DETAILS, Details, Sighting
from season_engine.species.names import KnownNames
from season_engine.tree import Tree
from season_engine.workspace.diary.notes import Piece, pieces_of
from season_engine.workspace.diary.reading import Heard, JobsOf, Reading, is_pine, read_line
from season_engine.workspace.diary.tokens import Subject
from season_engine.workspace.journal import LEADS, sighting_of
from season_engine.workspace.journal_details import job_with_remark

SEEN_LEAD = "seen"  # before words that begin like those of a stage looked for in vain

# Growth stages by BBCH code, the words for print first. 00 to 11 are those of the BBCH scale for stone and
# pome fruit (read in a secondary copy), 61 and above from memory; which everyday words go with which code,
# and the codes of pine candles, are our judgement.
STAGE_WORDS: Mapping[int, tuple[str, ...]] = {
    0: ("resting", "dormant", "buds resting", "buds dormant"),
    1: (
        "buds swelling", "swelling", "buds swell", "moving", "buds moving", "buds move",
        "candles moving", "candle moving", "candles move",
    ),
    3: ("buds swollen", "swollen", "buds fat", "green point", "green points"),
    7: (
        "buds breaking", "bud break", "bud burst", "budbreak", "budburst", "buds bursting", "buds opening",
        "buds open", "candles long", "candles out", "candles extending",
    ),
    9: ("green tips", "green tip", "green leaf tips", "caps off"),
    10: (
        "leaves opening", "leaves separating", "needles showing", "needles show", "needles through",
        "new shoots", "shoots showing",
    ),
    11: (
        "leaves open", "open", "first leaf", "first leaves", "first leaf open", "first leaves open",
        "leaf open", "leaves out", "leafed out", "needles open",
    ),
    15: ("leaves unfolded", "leaves spread", "needles standing apart", "needles apart"),
    51: ("flower buds swelling", "flower buds swell", "flower buds moving"),
    61: (
        "first flowers", "first flower", "first flowers open", "flowering", "in flower", "flowers open",
        "blooming", "in bloom",
    ),
    65: ("full bloom", "full flower", "in full bloom", "in full flower"),
    67: ("petals falling", "petals fall", "flowers fading"),
    69: ("petals off", "petals down", "flowering over", "end of flowering"),
    91: ("growth hard", "hard", "shoots hard", "needles hard", "leaves hard", "hardened", "hardened off"),
    92: ("leaf colour", "leaf color", "leaves colouring", "leaves coloring", "colouring", "coloring"),
    93: ("leaf fall", "leaves falling", "leaves fall"),
    97: ("leaves down", "all leaves down", "all leaves off", "bare"),
}  # fmt: skip
# On a pine needles show before they open, so "open" is a later stage than on other trees.
PINE_STAGE_WORDS: Mapping[int, tuple[str, ...]] = {
    1: ("candles moving",),
    7: ("candles long",),
    10: ("needles showing",),
    15: ("needles open", "open"),
}
_EXAMPLE = 'Write it like "buds swelling on the maple", "repotted p1" or "maple not yet open".'


@dataclass(frozen=True, slots=True)
class Understood:
    """One note out of a line."""

    note: str  # as written; begins "not yet" for a stage looked for in vain, "already" for one come before
    tree: Tree | None = None
    species: str | None = None
    bbch: int | None = None
    job: str | None = None
    sighting: Sighting = "seen"
    details: Details = NO_DETAILS
    date: dt.date | None = None  # where the words tell another day than that of the entry
    whole_yard: bool = False  # said of all trees, of none in particular
    asks: str = ""  # what is to be told beside it, for a fact that was not taken

    @property
    def not_yet(self) -> bool:
        """Whether a stage was looked for in vain."""
        return self.sighting == "not-yet"

    @property
    def plain(self) -> bool:
        """Whether it is kept as words alone."""
        facts = self.bbch is not None or self.job or self.not_yet
        return not facts and self.details == NO_DETAILS


def understand(
    words: str,
    names: KnownNames,
    about: str | None = None,
    jobs_of: JobsOf | None = None,
    *,
    on: dt.date = dt.date.max,
    sites: Sequence[str] = (),
    language: str = ENGLISH,
) -> tuple[Understood, ...]:
    """Read one line; `about` is the species it is about where it names none, `jobs_of` gives a species' jobs.

    `on` is the day of the entry, `sites` the yards' names, `language` decides where the words fit two. Raises
    GrowerError for a line that names no tree, kind or yard and holds no fact.
    """
    words = " ".join(words.split())
    reading = read_line(words, names, on, sites, language, about, jobs_of)
    told = [note for heard in reading.heard for note in _notes(words, heard, jobs_of)]
    if about is None:
        told = [_of_no_tree(note) if note.tree is None and note.species is None else note for note in told]
    facts = [one for one in told if not one.plain]
    if facts:
        return tuple(facts)
    asked = [one for one in told if one.asks]
    if asked:
        return tuple(asked)
    return _kept(words, reading, names, about)


def _notes(words: str, heard: Heard, jobs_of: JobsOf | None) -> list[Understood]:
    subject = heard.subject
    tree, species = (subject.tree, subject.species) if subject else (None, None)
    asks = " ".join(dict.fromkeys(one for said, _ in heard.said for one in said.asks))
    pieces = pieces_of(heard, jobs_of(species) if jobs_of and species else None)
    notes = [
        Understood(
            _led(words, piece),
            tree,
            species,
            piece.bbch,
            piece.job,
            piece.sighting,
            piece.details,
            piece.date,
            whole_yard=subject is not None and subject.whole_yard,
        )
        for piece in pieces
    ]
    if asks and notes:
        notes[0] = replace(notes[0], asks=asks)
    elif asks and subject:
        notes.append(Understood(words, tree, species, asks=asks))
    return notes


def _led(words: str, piece: Piece) -> str:
    """The words, told by their beginning as a stage looked for in vain or come before."""
    if piece.sighting == sighting_of(words):
        return words
    return f"{LEADS.get(piece.sighting, SEEN_LEAD)}: {words}"


def _of_no_tree(note: Understood) -> Understood:
    """Without what can only be said of one tree: "the wind gave me half of it" is no tree that came."""
    of_one = replace(note.details, states=frozenset(), signs=frozenset(), season=None, went=None)
    return replace(note, details=of_one)


def _kept(words: str, reading: Reading, names: KnownNames, about: str | None) -> tuple[Understood, ...]:
    """A line without a fact as plain notes of what it names; raises GrowerError where that is nothing."""
    note = words
    clear = [one for one in reading.named if not one.unclear and not one.whole_yard]
    if clear:
        return tuple(dict.fromkeys(Understood(note, one.tree, one.species) for one in clear))
    unclear = [one for one in reading.named if one.unclear and not one.indefinite]
    if unclear and any(_in_the_yard(one, names) for one in unclear):
        return (Understood(note, asks=unclear[0].asks),)
    if unclear:
        raise _not_understood(words, unclear[0].asks)
    if reading.named or reading.of_the_yard or about:
        return (Understood(note),)
    hint = names.slips_in(words) or f"{_EXAMPLE} What is about no tree goes into --note."
    raise _not_understood(words, "it names no tree and no stage or job.", hint)


def _in_the_yard(subject: Subject, names: KnownNames) -> bool:
    return any(names.trees_of(one) or one in names.ids for one in subject.may_be)


def as_remarked(job: str, remark: str) -> str:
    """A job as a free remark tells more of it: a repotting may be of a section, or without root work."""
    return job_with_remark(job, remark)


def stage_name(bbch: int, species: str | None = None) -> str:
    """A growth stage of that species in words the journal understands."""
    words = {**STAGE_WORDS, **(PINE_STAGE_WORDS if is_pine(species) else {})}
    return words[bbch][0] if bbch in words else f"BBCH {bbch:02d}"


def stage_words(bbch: int, species: str | None = None) -> str:
    """A growth stage of that species in words with its code."""
    name, code = stage_name(bbch, species), f"BBCH {bbch:02d}"
    return code if name == code else f"{name} ({code})"


def noted_stage(sighting: Sighting, bbch: int, species: str | None = None) -> str:
    """What is noted of a stage of that species: ``not yet leaves open (BBCH 11)``."""
    return f"{LEADS.get(sighting, '')} {stage_words(bbch, species)}".lstrip()


def _not_understood(words: str, why: str, hint: str = "") -> GrowerError:
    return GrowerError(f'"{shortened(words)}" is not understood: {why}', hint=hint)
