"""A tree's name that is also an ordinary word: the tree only where it stands as a name does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from season_engine.species.nicknames import ordinary_words
from season_engine.workspace.diary.common_words import common_words
from season_engine.workspace.diary.tokens import Subject, Token, folded_set
from season_engine.workspace.diary.tongue import Tongue

_BEFORE_A_NAME = folded_set(
    "on of to with for from off in at and but or & + by um am an bei von vom mit fuer auf zu zum aus und aber"
)


class Capitals(NamedTuple):
    """Which words of a line begin with a capital, and whether a tree's name within it does."""

    words: frozenset[str]
    of_names: bool


def stands_as_word(tokens: Sequence[Token], at: int, name: str, tongue: Tongue, capitals: Capitals) -> bool:
    """Whether a tree's name of one word stands there as the word for something else: "dead moss"."""
    before = tokens[at - 1] if at else "."
    after = tokens[at + 1] if at + 1 < len(tokens) else "."
    first = not isinstance(before, str) or not before[0].isalnum()
    if capitals.of_names and name.isalpha() and name not in capitals.words:
        return True
    if first or name.endswith("'s") or not _ordinary(name, tongue):
        return False
    if after in tongue.language.caution.leavings:
        return True
    if name in capitals.words:
        return False
    if before in tongue.guards.determiners or before in tongue.guards.articles:
        return True
    return before not in _BEFORE_A_NAME and before not in tongue.of_trees


def as_a_word(subject: Subject, name: str) -> Subject:
    """What such a word may be, where the line names no other tree."""
    ids = (subject.tree.id,) if subject.tree else subject.may_be
    return Subject(may_be=ids, asks=f'If "{name}" is the tree, write its id: {ids[0]}.')


def _ordinary(name: str, tongue: Tongue) -> bool:
    return name in ordinary_words() or name in common_words() or name in tongue.guards.known
