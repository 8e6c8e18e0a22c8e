"""What a clause seems to say and is not sure of: too many strange words, or one that turns the meaning."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from season_engine.workspace.diary.clauses import Clause
from season_engine.workspace.diary.phrases import Found
from season_engine.workspace.diary.quantities import words_of_quantity
from season_engine.workspace.diary.tongue import Tongue

# Our judgement, held against two hundred lines of diaries.
MOST_UNKNOWN = 1  # words known nowhere that a clause with a fact may have
MOST_LEFT = 4  # words that no phrase took
MOST_LEFT_OF_GRAVE = 2
# Facts by which a wrong reading does the most harm: they are taken only from plain words.
GRAVE = frozenset(
    {
        "state dead",
        "state given away",
        "state sick",
        "state collected",
        "job collecting",
        "job repotting",
        "job sectional-repotting",
        "job decandling",
    }
)


def surely(
    clause: Clause, found: Sequence[Found], tongue: Tongue, around: Collection[str], more: Sequence[str]
) -> list[Found]:
    """The phrases of a clause that may be taken for facts.

    `around` are the words of its sentence, `more` those words of the clause that no phrase took.
    """
    caution = tongue.language.caution
    odd = [word for word in more if not _accounted(word, tongue)]
    unknown = [word for word in odd if word not in tongue.words]
    if len(unknown) > MOST_UNKNOWN or len(odd) > MOST_LEFT:
        return []
    if not caution.turning.isdisjoint(more):
        return []
    if not clause.subjects and not clause.beside and _strange_before(clause, found, tongue):
        return []
    grave = len(odd) <= MOST_LEFT_OF_GRAVE
    spoiled = {
        fact for one in caution.spoiled if one.by(clause.words if one.near else around) for fact in one.facts
    }
    if not tongue.guards.denied.isdisjoint(more):  # a stage looked for in vain
        spoiled = {fact for fact in spoiled if not fact.startswith("stage ")}
    return [one for one in found if one.meaning not in spoiled and (grave or one.meaning not in GRAVE)]


def _strange_before(clause: Clause, found: Sequence[Found], tongue: Tongue) -> bool:
    """Whether a clause that names no tree begins with a word known nowhere, which may be what it is about."""
    ahead = clause.tokens[: min((one.places[0] for one in found), default=0)]
    strange = (one for one in ahead if isinstance(one, str) and one not in tongue.words)
    return any(not _accounted(one, tongue) for one in strange)


def _accounted(word: str, tongue: Tongue) -> bool:
    """Whether a word beside a fact says nothing against it."""
    return (
        word in tongue.small
        or word in tongue.guards.now
        or word in tongue.guards.denied
        or word in tongue.guards.in_vain
        or word in tongue.language.caution.filler
        or word in words_of_quantity()
        or not word.isalpha()
    )
