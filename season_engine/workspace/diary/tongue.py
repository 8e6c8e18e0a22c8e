"""A language the journal understands: its phrases by meaning, and the words that make a clause no fact."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import cached_property

from season_engine.files.spelling import Tokens
from season_engine.workspace.diary.phrases import Phrases
from season_engine.workspace.diary.tokens import folded

_NOUN_ENDS = ("ing", "tion", "work", "shelter", "shade", "tidy", "check", "cuttings", "spray")
_NOT_ALONE = {"collected", "sheltered", "thinned", "shaded"}  # which are said of other things too


def folded_set(words: str) -> frozenset[str]:
    """Words apart by spaces, as lines are read."""
    return frozenset(folded(words).split())


def phrase_of_job(words: Tokens) -> tuple[str, ...]:
    """A job's own words as a phrase: a noun says that it was done only where it stands alone."""
    text = " ".join(words)
    alone = text.endswith(_NOUN_ENDS) or text in _NOT_ALONE
    return (f"^ {text} $",) if alone else (text,)


@dataclass(frozen=True, slots=True)
class Guards:
    """Words by which a clause is a plan, a question, a denial, or about other people's trees."""

    plan: frozenset[str]
    plan_phrases: tuple[str, ...]
    answers: tuple[str, ...]  # to a question: no
    denied: frozenset[str]
    in_vain: frozenset[str]  # with a denial: a stage looked for in vain
    in_vain_denied: frozenset[str]  # the denials that say so by themselves
    asks: frozenset[str]  # at the beginning of a sentence
    others: frozenset[str]
    agents: frozenset[str]  # at the beginning of a clause: it was somebody else
    habit: frozenset[str]
    condition: frozenset[str]
    subordinate: frozenset[str]
    joins: frozenset[str]
    turns: frozenset[str]  # end what a plan or a condition reaches
    too: frozenset[str]
    pronouns: frozenset[str]
    articles: frozenset[str]  # of something that is nobody's in particular
    determiners: frozenset[str]  # before "repotted" they make it a word about a tree, no job
    everything: frozenset[str]
    rest: frozenset[str]
    plural: frozenset[str]
    compared: frozenset[str]
    already: frozenset[str]
    now: frozenset[str]
    yard: frozenset[str]
    known: frozenset[str]


@dataclass(frozen=True, eq=False)
class Tongue:
    """One language."""

    name: str
    tables: Sequence[Mapping[str, Collection[str]]]
    sets: Mapping[str, str]
    small: frozenset[str]
    guards: Guards

    @cached_property
    def phrases(self) -> Phrases:
        """What may be said of trees other than pines."""
        return Phrases(self._tables(pine=False), self.sets, self.small, self._passed)

    @cached_property
    def pine_phrases(self) -> Phrases:
        """The same of pines, where some words mean another stage."""
        return Phrases(self._tables(pine=True), self.sets, self.small, self._passed)

    @cached_property
    def of_trees(self) -> frozenset[str]:
        """The words of its phrases, without those that only sound like a fact."""
        tables = [table for table in self._tables(pine=False) if "idle" not in table]
        return frozenset(Phrases(tables, self.sets, self.small).words | self.small | self.guards.now)

    @property
    def _passed(self) -> frozenset[str]:
        """What may stand beside a phrase that is to stand alone."""
        return (
            self.guards.denied
            | self.guards.in_vain
            | self.guards.already
            | self.guards.now
            | self.guards.pronouns
        )

    @cached_property
    def answers(self) -> Phrases:
        """What answers a question with no."""
        return Phrases([{"no": self.guards.answers}], {}, self.small)

    @cached_property
    def plans(self) -> Phrases:
        """Of what is still to come."""
        return Phrases([{"plan": self.guards.plan_phrases}], {}, self.small)

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that is known."""
        guards = (
            getattr(self.guards, one.name)
            for one in fields(self.guards)
            if one.name not in ("plan_phrases", "answers")
        )
        return frozenset(
            self.phrases.words.union(self.pine_phrases.words, self.plans.words, self.small, *guards)
        )

    def _tables(self, *, pine: bool) -> list[Mapping[str, Collection[str]]]:
        """The tables; on a pine its own stages come first, so that they win over the same words."""
        kept: list[Mapping[str, Collection[str]]] = []
        for table in self.tables:
            own = {
                f"stage {key.removeprefix('pine ')}": table[key] for key in table if key.startswith("pine ")
            }
            taken = {phrase for phrases in own.values() for phrase in phrases} if pine else set()
            rest = {
                key: tuple(one for one in phrases if one not in taken)
                for key, phrases in table.items()
                if not key.startswith("pine ")
            }
            kept += [own, rest] if pine else [rest]
        return kept
