"""Plain slips of spelling put right: one edit in a longer word, where one known word alone fits."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cache

from season_engine.workspace.diary.common_words import common_words
from season_engine.workspace.diary.tongue import Tongue

SHORTEST = 6


def mended(
    words: Sequence[str],
    tongue: Tongue,
    kinds: Collection[str],
    names: Collection[str],
    left: Collection[str],
) -> list[str]:
    """The words of a line; `kinds` and `names` are the words for kinds of tree and of the grower's own trees,
    `left` are words left as they are.

    A word that is one of the language, known here or not, is left as it is. Of a tree's name only a letter
    doubled, lost from a double or two swapped is put right, since any word may be near to a name.
    """
    return [
        word if word in left else _mended(word, tongue, frozenset(kinds), frozenset(names)) for word in words
    ]


def led_by_name(words: Sequence[str], names: Collection[str]) -> list[str]:
    """The words of a line that names no tree, its first a tree's name where letters are swapped or doubled,
    though it is a word of its own too.
    """
    if not words or len(words[0]) < SHORTEST or not words[0].isalpha():
        return list(words)
    near = {one for one in names if abs(len(one) - len(words[0])) <= 1 and _like_a_slip(words[0], one)}
    return [*near, *words[1:]] if len(near) == 1 else list(words)


@cache
def _mended(word: str, tongue: Tongue, kinds: frozenset[str], names: frozenset[str]) -> str:
    known = tongue.words | kinds | names
    plain = len(word) >= SHORTEST and word.isalpha()
    if not plain or word in known or word.removesuffix("s") in known or word in common_words():
        return word
    from rapidfuzz.distance import OSA  # only a slip pays for this import

    near = {
        one
        for one in known
        if len(one) >= SHORTEST
        and abs(len(one) - len(word)) <= 1
        and OSA.distance(one, word, score_cutoff=1) <= 1
    }
    if len(near) != 1:
        return word
    (meant,) = near
    if meant in names - kinds - tongue.words and not _like_a_slip(word, meant):
        return word
    return meant


def _like_a_slip(word: str, meant: str) -> bool:
    """Whether letters are only doubled or swapped."""
    return _undoubled(word) == _undoubled(meant) or sorted(word) == sorted(meant)


def _undoubled(word: str) -> str:
    return "".join(letter for at, letter in enumerate(word) if not at or letter != word[at - 1])
