"""What a clause seems to say and is not sure of: a word is not accounted for, or one turns the meaning."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from season_engine.workspace.diary.clauses import Clause
from season_engine.workspace.diary.facts import left_over
from season_engine.workspace.diary.phrases import Found
from season_engine.workspace.diary.quantities import words_of_quantity
from season_engine.workspace.diary.tokens import Day, Subject
from season_engine.workspace.diary.tongue import Tongue

# What a phrase beside these says is of how or how much.
FACTS = frozenset({"job", "words", "stage", "state", "sign", "off", "bend", "season", "went"})
SEEN = frozenset({"stage", "state", "sign"})
# What may be told behind the clause that names the tree: "repotted Kettle; a third of the root ball".
ROOTS = frozenset({"job sectional-repotting", "job slip-potting"})


def surely(
    clause: Clause,
    found: Sequence[Found],
    tongue: Tongue,
    around: Collection[str],
    *,
    named_before: bool,
) -> list[Found]:
    """The phrases of a clause that may be taken for facts: every word accounted for, its tree named.

    `around` are the words of its line; `named_before`: whether that names a tree before the clause does.
    """
    caution, more = tongue.language.caution, left_over(clause, found)
    if not all_accounted(clause, found, tongue):
        return []
    spoiled = {
        fact for one in caution.spoiled if one.by(clause.words if one.near else around) for fact in one.facts
    }
    if not tongue.guards.denied.isdisjoint(more):  # a stage looked for in vain
        spoiled = {fact for fact in spoiled if not fact.startswith("stage ")}
    own = clause.subjects or clause.beside or not tongue.guards.pronouns.isdisjoint(clause.words)
    elsewhere = named_before and not own
    return [
        one
        for one in found
        if one.meaning not in spoiled
        and not (elsewhere and one.kind in FACTS and one.meaning not in ROOTS)
        and not _twofold(one, found)
        and not (one.kind == "stage" and _of_another_day_or_thing(clause, one, named_before))
    ]


def _twofold(one: Found, found: Sequence[Found]) -> bool:
    """Whether its words may mean another fact: "gone yellow" is autumn's colour, or hunger."""
    return any(
        other.kind in SEEN and other.kind != one.kind and not set(other.places).isdisjoint(one.places)
        for other in found
        if one.kind in SEEN
    )


def _of_another_day_or_thing(clause: Clause, stage: Found, named_before: bool) -> bool:
    """Whether a stage is told "since Sunday", is looked "for", or is a word without a tree before it."""
    before = clause.tokens[: stage.places[0]]
    if any(one == Day() for one in clause.days) or (before and before[-1] in ("for", "nach", "auf")):
        return True
    alone = len(stage.places) == 1 and not any(isinstance(one, Subject) for one in before)
    return alone and not clause.beside and (named_before or bool(clause.subjects))


def loses_a_fact(found: Sequence[Found], sure: Sequence[Found]) -> bool:
    """Whether one of the phrases found, and not taken, would have been a fact."""
    return any(one.kind in FACTS and one not in sure for one in found)


def all_accounted(clause: Clause, found: Sequence[Found], tongue: Tongue) -> bool:
    """Whether each word of a clause belongs to one of the phrases found, or says nothing against them."""
    return all(_accounted(word, tongue) for word in left_over(clause, found))


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
