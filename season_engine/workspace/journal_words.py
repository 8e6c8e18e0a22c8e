"""Understanding one line in a grower's words: "buds swelling on the trident", "repotted Kettle", "not yet".

Every word has to mean something here: a line with a word left over is refused rather than guessed at. What
follows a semicolon is the grower's own remark and is kept as it stands; of it only what part of a root ball
was renewed counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from season_engine.errors import GrowerError
from season_engine.files.spelling import Tokens, tokens_of
from season_engine.files.text import did_you_mean, listed, shortened
from season_engine.note import Sighting
from season_engine.species.jobs import JOBS
from season_engine.species.names import KnownNames
from season_engine.tree import Tree
from season_engine.workspace.journal import LEADS, sighting_of
from season_engine.workspace.journal_line import Line
from season_engine.workspace.journal_roots import FULL, SECTIONS, job_by_remark, take_section, take_untouched

Meaning = TypeVar("Meaning", int, str)

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
    15: ("needles standing apart", "needles apart"),
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


def _by_words(meanings: Mapping[Meaning, tuple[str, ...]]) -> dict[Tokens, Meaning]:
    """Phrases without their small words, with what they mean."""
    found = {}
    for meaning, phrases in meanings.items():
        for phrase in phrases:
            line = Line(tokens_of(phrase))
            line.drop_small_words()
            found[tuple(line.left)] = meaning
    return found


_JOBS = _by_words({name: (name, *job.noted_as) for name, job in JOBS.items()})
_PHRASES: dict[Tokens, int | str] = {**_by_words(STAGE_WORDS), **_JOBS}
_PINE_PHRASES: dict[Tokens, int | str] = {**_PHRASES, **_by_words(PINE_STAGE_WORDS)}
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


def understand(words: str, names: KnownNames, about: str | None = None) -> Understood:
    """Read one line; `about` is the species it is about where it names none.

    Raises GrowerError naming what was not understood, with what it may mean.
    """
    words = " ".join(words.split())
    told, _, remark = words.partition(";")
    if "?" in told:
        raise _not_understood(words, "it asks something", "Note what you saw or did.")
    line = Line(tokens_of(told))
    roots = take_untouched(line)
    not_yet = _take_not_yet(words, line)
    try:
        said = line.take_codes()
        trees = line.take_all(names.trees)
        already = ALREADY in line.left
        line.drop_all([(ALREADY,)])
        line.take_names(names)
        line.drop_small_words()
        roots |= take_section(line)
        on_a_pine = line.copy().take_all(_PINE_PHRASES)
        on_others = line.take_all(_PHRASES)
        line.take_name_words(names)
        tree, species = names.meant(trees, line.name_words)
    except GrowerError as unclear:
        raise _not_understood(words, unclear.problem.rstrip("."), unclear.hint) from None
    _refuse_left_over(words, line, names)
    said |= on_a_pine if _is_pine(species or about) else on_others
    said = (said - {FULL}) | roots if roots else said
    stages = sorted(one for one in said if isinstance(one, int))
    jobs = sorted(one for one in said if isinstance(one, str))
    _refuse_muddle(words, stages, jobs, not_yet, already)
    words = _led(words, not_yet=not_yet, already=already)
    job = as_remarked(jobs[0], remark) if jobs else None
    return Understood(words, tree, species, stages[0] if stages else None, job, not_yet)


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


def _refuse_left_over(words: str, line: Line, names: KnownNames) -> None:
    if not line.left:
        return
    known = {token for phrase in (*_PINE_PHRASES, *SECTIONS, *names.trees) for token in phrase} | names.words
    known = {word for word in known if len(word) >= SHORTEST_GUESSED} - set(line.left)
    guesses = (did_you_mean(token, sorted(known)) for token in line.left if len(token) >= SHORTEST_GUESSED)
    hint = next((guess for guess in guesses if guess), "")
    why = f"{listed(line.left, 'and')} says nothing I know"
    raise _not_understood(words, why, hint or f"{_EXAMPLE} A remark goes after a semicolon.")


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
