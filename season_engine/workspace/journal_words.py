"""Understanding one line in a grower's words: "buds swelling on the trident", "repotted Kettle", "not yet".

Every word has to mean something here: a line with a word left over is refused rather than guessed at. What
follows a semicolon is the grower's own remark and is kept as it stands; of it only what part of a root ball
was renewed counts.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from season_engine.errors import GrowerError
from season_engine.files.spelling import Tokens, tokens_of
from season_engine.files.text import closest, listed, shortened
from season_engine.note import Sighting
from season_engine.species.jobs import JOB_WORDS, the_job
from season_engine.species.names import KnownNames
from season_engine.tree import Tree
from season_engine.workspace.journal import LEADS, sighting_of
from season_engine.workspace.journal_line import Line
from season_engine.workspace.journal_roots import FULL, SECTIONS, job_by_remark, take_section, take_untouched
from season_engine.workspace.journal_weight import take_weight

Meaning = TypeVar("Meaning", int, Tokens)

ALREADY = LEADS["already"]

# Growth stages by BBCH code, the words for print first. 00 to 11 are those of the BBCH scale for stone and
# pome fruit (read in a secondary copy), 61 and above from memory; which everyday words go with which code,
# and the codes of pine candles, are our judgement.
STAGE_WORDS: Mapping[int, tuple[str, ...]] = {
    0: ("resting", "dormant", "buds resting", "buds dormant"),
    1: (
        "buds swelling", "swelling", "buds swell", "buds fat", "moving", "buds moving", "buds move",
        "candles moving", "candle moving", "candles move",
    ),
    3: ("buds swollen", "swollen", "green point", "green points"),
    7: (
        "buds breaking", "bud break", "bud burst", "budbreak", "budburst", "buds bursting", "buds opening",
        "buds open", "candles", "candle", "candles long", "candles out", "candles extending",
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
    97: ("leaves down", "leaves off", "all leaves down", "all leaves off", "bare"),
}  # fmt: skip
# On a pine needles show before they open, so "open" is a later stage than on other trees.
PINE_STAGE_WORDS: Mapping[int, tuple[str, ...]] = {
    1: ("candles moving",),
    7: ("candles long",),
    10: ("needles showing",),
    15: ("needles open", "open"),
}
PINE_GENUS = "Pinus"
JobsOf = Callable[[str], Container[str] | None]  # of a species by its name; None: nobody knows them


def _by_words(meanings: Mapping[Meaning, tuple[str, ...]]) -> dict[Tokens, Meaning]:
    """Phrases without their small words, with what they mean."""
    found = {}
    for meaning, phrases in meanings.items():
        for phrase in phrases:
            line = Line(tokens_of(phrase))
            line.drop_small_words()
            found[tuple(line.left)] = meaning
    return found


# A phrase of a job stands for itself, since which job it means hangs on the species.
_JOBS = _by_words({phrase: (" ".join(phrase),) for phrase in JOB_WORDS})
_PHRASES: dict[Tokens, int | Tokens] = {**_by_words(STAGE_WORDS), **_JOBS}
_PINE_PHRASES: dict[Tokens, int | Tokens] = {**_PHRASES, **_by_words(PINE_STAGE_WORDS)}
_DENIALS = {"not", "no", "isn't", "aren't", "hasn't", "haven't", "wasn't", "weren't", "don't", "doesn't"}
SHORTEST_GUESSED = 4  # letters: a shorter word is like too many others
_EXAMPLE = 'Write it like "buds swelling on the maple", "repotted p1" or "maple not yet open".'


@dataclass(frozen=True, slots=True)
class Understood:
    """What one line says."""

    note: str  # as written; begins "not yet" for a stage looked for in vain, "already" for one come before
    tree: Tree | None = None
    species: str | None = None
    bbch: int | None = None
    job: str | None = None
    not_yet: bool = False


def understand(
    words: str, names: KnownNames, about: str | None = None, jobs_of: JobsOf | None = None
) -> Understood:
    """Read one line; `about` is the species it is about where it names none, `jobs_of` gives a species' jobs.

    Raises GrowerError naming what was not understood, with what it may mean.
    """
    try:
        return _understood(words, names, about, jobs_of)
    except _LeftOver as line:
        hint = _mended(line, names, lambda mended: _understood(mended, names, about, jobs_of))
        why = f"{listed(line.left, 'and')} says nothing I know"
        raise _not_understood(line.words, why, hint) from None


class _LeftOver(Exception):
    """Words that mean nothing here."""

    def __init__(self, words: str, told: str, left: Sequence[str]) -> None:
        super().__init__(words)
        self.words, self.told, self.left = words, told, left


def _understood(words: str, names: KnownNames, about: str | None, jobs_of: JobsOf | None) -> Understood:
    words = " ".join(words.split())
    told, _, remark = words.partition(";")
    if "?" in told:
        raise _not_understood(words, "it asks something", "Note what you saw or did.")
    line = Line(tokens_of(told))
    not_yet, taken = _taken(words, line, names)
    if line.left:
        raise _LeftOver(words, told, line.left)
    kind = taken.species or about
    said = taken.on_a_pine if _is_pine(kind) else taken.on_others
    stages = sorted(taken.codes | {one for one in said if isinstance(one, int)})
    done_here = jobs_of(kind) if jobs_of and kind else None
    try:
        jobs = {the_job(one, done_here) for one in said if isinstance(one, tuple)}
    except GrowerError as unclear:
        raise _not_understood(words, unclear.problem.rstrip("."), unclear.hint) from None
    jobs = (jobs - {FULL}) | taken.roots if taken.roots else jobs
    _refuse_muddle(words, stages, sorted(jobs), not_yet, taken.already)
    words = _led(words, not_yet=not_yet, already=taken.already)
    job = as_remarked(min(jobs), remark) if jobs else None
    return Understood(words, taken.tree, taken.species, stages[0] if stages else None, job, not_yet)


@dataclass(frozen=True, slots=True)
class _Taken:
    """What the words of a line name."""

    codes: set[int]
    roots: set[str]  # the job, where it says how much of the roots it was about
    already: bool
    on_a_pine: set[int | Tokens]  # stages, and phrases of jobs
    on_others: set[int | Tokens]
    tree: Tree | None
    species: str | None


def _taken(words: str, line: Line, names: KnownNames) -> tuple[bool, _Taken]:
    """Take out of a line all that is known, and whether it says "not yet"; raises GrowerError."""
    roots = take_untouched(line)
    not_yet = _take_not_yet(words, line)
    try:
        codes = line.take_codes()
        trees = line.take_all(names.trees)
        already = ALREADY in line.left
        line.drop_all([(ALREADY,)])
        line.take_names(names)
        line.drop_small_words()
        roots |= take_section(line)
        take_weight(line)
        on_a_pine = line.copy().take_all(_PINE_PHRASES)
        on_others = line.take_all(_PHRASES)
        line.take_name_words(names)
        tree, species = names.meant(trees, line.name_words)
    except GrowerError as unclear:
        raise _not_understood(words, unclear.problem.rstrip("."), unclear.hint) from None
    return not_yet, _Taken(codes, roots, already, on_a_pine, on_others, tree, species)


def _led(words: str, *, not_yet: bool, already: bool) -> str:
    """The words, told by their beginning as a stage looked for in vain or come before."""
    sighting: Sighting = "not-yet" if not_yet else "already" if already else "seen"
    if sighting in ("seen", sighting_of(words)):
        return words
    return f"{LEADS[sighting]}: {words}"


def as_remarked(job: str, remark: str) -> str:
    """A job as a free remark tells more of it: a repotting may be of a section, or without root work."""
    return job_by_remark(remark) if job == FULL else job


def stage_name(bbch: int, species: str | None = None) -> str:
    """A growth stage of that species in words the journal understands."""
    words = {**STAGE_WORDS, **(PINE_STAGE_WORDS if _is_pine(species) else {})}
    return words[bbch][0] if bbch in words else f"BBCH {bbch:02d}"


def stage_words(bbch: int, species: str | None = None) -> str:
    """A growth stage of that species in words with its code."""
    name, code = stage_name(bbch, species), f"BBCH {bbch:02d}"
    return code if name == code else f"{name} ({code})"


def noted_stage(sighting: Sighting, bbch: int, species: str | None = None) -> str:
    """What is noted of a stage of that species: ``not yet leaves open (BBCH 11)``."""
    return f"{LEADS.get(sighting, '')} {stage_words(bbch, species)}".lstrip()


def _is_pine(species: str | None) -> bool:
    return (species or "").split(" ")[0] == PINE_GENUS


def _take_not_yet(words: str, line: Line) -> bool:
    denials = [token for token in line.left if token in _DENIALS]
    if not denials:
        return False
    if "yet" not in line.left:
        raise _not_understood(
            words, f'"{denials[0]}" is unclear', 'Write "not yet" for a stage still to come.'
        )
    line.drop_all((token,) for token in (*denials, "yet"))
    return True


def _mended(line: _LeftOver, names: KnownNames, read: Callable[[str], Understood]) -> str:
    """A hint at the known word that the one left over may be, or at the whole line with several mended.

    Each is taken for the known word it is most like, and nothing is offered that wouldn't be understood.
    """
    phrases = (*_PINE_PHRASES, *SECTIONS, *names.trees)
    known = {token for phrase in phrases for token in phrase} | names.words
    known = {word for word in known if len(word) >= SHORTEST_GUESSED} - set(line.left)
    guesses = {one: closest(one, sorted(known)) for one in line.left if len(one) >= SHORTEST_GUESSED}
    meant = {one: guess for one, guess in guesses.items() if guess}
    mended = " ".join(meant.get(token, token) for token in tokens_of(line.told))
    try:
        read(mended)
    except (GrowerError, _LeftOver):
        return f"{_EXAMPLE} A remark goes after a semicolon."
    return f'Did you mean "{mended if len(meant) > 1 else meant[line.left[0]]}"?'


def _refuse_muddle(
    words: str, stages: Sequence[int], jobs: Sequence[str], not_yet: bool, already: bool
) -> None:
    if len(stages) + len(jobs) > 1:
        said = [*map(stage_words, stages), *jobs]
        raise _not_understood(words, f"it says {listed(said, 'and')}", "Write one line for each.")
    if not_yet and jobs:
        raise _not_understood(words, "a job not done yet needs no note")
    if already and not_yet:
        raise _not_understood(words, 'it says "already" and "not yet"')
    if already and jobs:
        raise _not_understood(words, "a job counts from the day it was done", "Give that day with --on.")
    if not (stages or jobs or not_yet):
        raise _not_understood(words, "it names no stage and no job", _EXAMPLE)


def _not_understood(words: str, why: str, hint: str = "") -> GrowerError:
    return GrowerError(f'"{shortened(words)}" is not understood: {why}.', hint=hint)
