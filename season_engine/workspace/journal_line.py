"""Taking what a grower's words name out of a line, phrase by phrase."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeVar

from season_engine.files.spelling import Tokens, tokens_of
from season_engine.note import LAST_STAGE
from season_engine.species.names import KnownNames

Meaning = TypeVar("Meaning")

_SMALL_WORDS = {
    tokens_of(words)
    for words in (
        "begin to", "begins to", "beginning to", "started to", "starting to", "began to", "the", "a", "an",
        "and", "on", "of", "my", "our", "is", "are", "has", "have", "been", "was", "were", "in", "at", "now",
        "today", "done", "it", "its", "i", "we", "tree", "trees",
    )
}  # fmt: skip


class Line:
    """The words of a line that have not been given a meaning yet."""

    def __init__(self, tokens: Iterable[str]) -> None:
        self._tokens = list(tokens)
        self.name_words: list[str] = []

    @property
    def left(self) -> list[str]:
        """The words not taken out."""
        return [token for token in self._tokens if token]

    def copy(self) -> Line:
        """The same words, to try something on."""
        return Line(self._tokens)

    def take_all(self, phrases: Mapping[Tokens, Meaning]) -> set[Meaning]:
        """Take out every phrase that occurs, the longest first; return what they mean."""
        # A gap stays, so that words from either side of it never make a phrase.
        return {phrases[phrase] for phrase in self._cut(phrases, [""])}

    def drop_all(self, phrases: Iterable[Tokens]) -> None:
        """Take out phrases that mean nothing, without a trace."""
        self._cut(phrases, [])

    def drop_small_words(self) -> None:
        """Take out the words that a sentence needs and a note doesn't."""
        self.drop_all(_SMALL_WORDS)

    def take_codes(self) -> set[int]:
        """Take out stages written as "BBCH 11"."""
        codes: dict[Tokens, int] = {("bbch", text): int(text) for text in self.left if _is_code(text)}
        return self.take_all(codes)

    def take_names(self, names: KnownNames) -> None:
        """Take out species' names of several words."""
        for name in sorted(self.take_all(names.longer_names)):
            self.name_words.extend(name)

    def take_name_words(self, names: KnownNames) -> None:
        """Take out single words of species' names."""
        for token in self.left:
            if word := names.name_word(token):
                self.take_all({(token,): word})
                self.name_words.append(word)

    def _cut(self, phrases: Iterable[Tokens], left: list[str]) -> list[Tokens]:
        found = []
        for phrase in sorted(phrases, key=len, reverse=True):
            while (at := self._place(phrase)) is not None:
                self._tokens[at : at + len(phrase)] = left
                found.append(phrase)
        return found

    def _place(self, phrase: Tokens) -> int | None:
        size = len(phrase)
        starts = range(len(self._tokens) - size + 1)
        return next((at for at in starts if tuple(self._tokens[at : at + size]) == phrase), None)


def _is_code(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= len(str(LAST_STAGE))
