"""Phrases with what they mean, and finding them in a clause.

A phrase is words apart by spaces: `a|b` is either, a `?` behind it says that it may be missing, `@name` is
one of a set of words, `^` the beginning of a clause and `$` its end (names and small words aside), `..` up to
four words of any kind. Between two words of a phrase names and small words are passed over.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from season_engine.workspace.diary.tokens import Token, folded

_GAP, _START, _END = "..", "^", "$"
LONGEST_GAP = 4
BESIDE = frozenset({"amount", "partial", "pot"})  # said by words that may mean something else too


@dataclass(frozen=True, slots=True)
class _Part:
    words: frozenset[str] = frozenset()
    mark: str = ""
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Phrase:
    """Some words with their meaning, such as ``job repotting``."""

    meaning: str
    parts: tuple[_Part, ...]

    @property
    def firsts(self) -> Iterable[str]:
        """The words it may begin with."""
        for part in self.parts:
            yield from part.words
            if part.words and not part.optional:
                return


@dataclass(frozen=True, slots=True)
class Found:
    """A phrase in a clause, with the places of its words."""

    meaning: str
    places: tuple[int, ...]

    @property
    def kind(self) -> str:
        """What sort of thing it means: a job, a stage, a state."""
        return self.meaning.split(" ", 1)[0]


class Phrases:
    """A table of phrases that may be looked for in clauses."""

    def __init__(
        self,
        tables: Iterable[Mapping[str, Collection[str]]],
        sets: Mapping[str, Collection[str]],
        small: Collection[str],
        passed: Collection[str] = (),
    ) -> None:
        self._small, self._passed = frozenset(small), frozenset(small) | frozenset(passed)
        self._by_first: dict[str, list[Phrase]] = {}
        self.words: set[str] = set()
        for table in tables:
            for meaning, phrases in table.items():
                for text in phrases:
                    self._add(Phrase(meaning, tuple(_part(one, sets) for one in folded(text).split())))

    def _add(self, phrase: Phrase) -> None:
        for part in phrase.parts:
            self.words |= part.words
        for word in set(phrase.firsts):
            self._by_first.setdefault(word, []).append(phrase)

    def found_in(self, clause: Sequence[Token]) -> list[Found]:
        """The phrases of a clause, none over another, the one of most words first."""
        found = [
            Found(phrase.meaning, places)
            for start, token in enumerate(clause)
            if isinstance(token, str)
            for phrase in self._by_first.get(token, ())
            if (places := self._match(phrase.parts, clause, start)) is not None
        ]
        taken: set[int] = set()
        kept: list[Found] = []
        for one in sorted(found, key=lambda one: (-len(one.places), one.places)):
            same = [other.kind for other in kept if other.places == one.places]
            if one.kind in BESIDE:
                kept.append(one)
            elif taken.isdisjoint(one.places) or (same and one.kind not in same):
                kept.append(one)
                taken.update(one.places)
        return sorted(kept, key=lambda one: one.places)

    def passes(self, token: Token) -> bool:
        """Whether a word says nothing by itself."""
        return not isinstance(token, str) or token in self._small

    def _all_pass(self, tokens: Sequence[Token]) -> bool:
        """Whether words say nothing beside a phrase that stands alone; a denial is looked at elsewhere."""
        return all(not isinstance(token, str) or token in self._passed for token in tokens)

    def _match(self, parts: Sequence[_Part], clause: Sequence[Token], start: int) -> tuple[int, ...] | None:
        if parts[0].mark == _START:
            if not self._all_pass(clause[:start]):
                return None
            parts = parts[1:]
        return self._rest(parts, clause, start, first=True)

    def _rest(
        self, parts: Sequence[_Part], clause: Sequence[Token], at: int, first: bool = False
    ) -> tuple[int, ...] | None:
        if not parts:
            return ()
        part, *more = parts
        if part.mark == _END:
            return () if self._all_pass(clause[at:]) else None
        if part.mark == _GAP:
            ways = (self._rest(more, clause, at + far) for far in range(LONGEST_GAP + 1))
            return next((way for way in ways if way is not None), None)
        if at < len(clause):
            token = clause[at]
            if isinstance(token, str) and token in part.words:
                rest = self._rest(more, clause, at + 1)
                if rest is not None:
                    return (at, *rest)
            if not first and self._all_pass((token,)):
                rest = self._rest(parts, clause, at + 1)
                if rest is not None:
                    return rest
        return self._rest(more, clause, at, first) if part.optional else None


def _part(text: str, sets: Mapping[str, Collection[str]]) -> _Part:
    if text in (_GAP, _START, _END):
        return _Part(mark=text)
    optional = text.endswith("?")
    words: set[str] = set()
    for one in text.removesuffix("?").split("|"):
        words |= set(sets[one[1:]]) if one.startswith("@") else {one}
    return _Part(frozenset(words), optional=optional)
