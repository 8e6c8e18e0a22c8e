"""Finding a grower's trees and species in a line of words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

from season_engine.errors import GrowerError
from season_engine.workspace.journal import LAST_STAGE
from season_engine.workspace.reading import did_you_mean, listed, shortened
from season_engine.workspace.trees import Tree

Tokens = tuple[str, ...]
Meaning = TypeVar("Meaning")

_TOKEN = re.compile(r"[^\W_]+(?:'[^\W_]+)*")


def tokens_of(text: str) -> Tokens:
    """The words of a text without regard to case, hyphens and punctuation."""
    return tuple(_TOKEN.findall(text.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")))


class KnownNames:
    """The names a line may use: those of the grower's trees and of all species.

    `species` gives for every name the one to write down; a tree's species may be a name it lacks.
    """

    def __init__(self, species: Mapping[str, str], trees: Sequence[Tree]) -> None:
        self._spelt = {**{tree.species: tree.species for tree in trees}, **species}
        self._names = {tokens_of(name): one for name, one in self._spelt.items()}
        self._words: dict[str, set[str]] = {}
        for name, one in self._names.items():
            for part in name:
                self._words.setdefault(part, set()).add(one)
        self._kept = {self.species_of(tree) for tree in trees}
        self.trees: dict[Tokens, tuple[Tree, ...]] = {}
        for tree in trees:
            for phrase in {tokens_of(tree.id), tokens_of(tree.name), _without_article(tree.name)} - {()}:
                self.trees[phrase] = (*self.trees.get(phrase, ()), tree)

    @property
    def words(self) -> set[str]:
        """Every word of a species' name."""
        return set(self._words)

    @property
    def longer_names(self) -> dict[Tokens, Tokens]:
        """Species' names of several words, as these words."""
        return {name: name for name in self._names if len(name) > 1}

    def name_word(self, token: str) -> str | None:
        """The word of a species' name that `token` is, or is the plural of."""
        singulars = (token, token.removesuffix("s"), token.removesuffix("es"))
        return next((word for word in singulars if word in self._words), None)

    def species_of(self, tree: Tree) -> str:
        """The species of one of the grower's trees."""
        return self._names[tokens_of(tree.species)]

    def species_called(self, name: str) -> str:
        """The species an option names; raises GrowerError."""
        found = [self.name_word(token) for token in tokens_of(name)]
        words = [word for word in found if word]
        if not words or len(words) < len(found):
            hint = did_you_mean(name, self._spelt)
            raise GrowerError(f'There is no species "{shortened(name)}".', hint=hint, field="species")
        return self._species(words)

    def meant(
        self, trees: Iterable[tuple[Tree, ...]], words: Sequence[str]
    ) -> tuple[Tree | None, str | None]:
        """The one tree and species that a line names, or neither; raises GrowerError where it is unclear."""
        found = {tree.id: tree for group in trees for tree in group}
        if not found:
            return None, self._species(words) if words else None
        fitting = [
            tree
            for tree in found.values()
            if all(self.species_of(tree) in self._words[word] for word in words)
        ]
        if not fitting:
            raise GrowerError(f'{listed(sorted(found))} is no "{" ".join(words)}".')
        if len(fitting) > 1:
            ids = listed(sorted(tree.id for tree in fitting))
            raise GrowerError(
                "it could be about several trees.", hint=f"Write one line for each, by id: {ids}."
            )
        return fitting[0], self.species_of(fitting[0])

    def _species(self, words: Sequence[str]) -> str:
        """The species with all these words in its names; those the grower keeps come first."""
        fitting = set.intersection(*(self._words[word] for word in words))
        fitting = fitting & self._kept or fitting
        exact = self._names.get(tuple(words))
        if len(fitting) > 1 and exact in fitting:
            fitting = {exact}
        if not fitting:
            raise GrowerError(f'"{" ".join(words)}" is no one species.', hint="Write one line for each.")
        if len(fitting) > 1:
            raise GrowerError(f'"{" ".join(words)}" could be {listed(sorted(fitting))}.', hint="Say which.")
        return fitting.pop()


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

    def take_codes(self) -> set[int | str]:
        """Take out stages written as "BBCH 11"."""
        codes: dict[Tokens, int | str] = {("bbch", text): int(text) for text in self.left if _is_code(text)}
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


def _without_article(name: str) -> Tokens:
    tokens = tokens_of(name)
    return tokens[1:] if tokens[:1] == ("the",) else tokens
