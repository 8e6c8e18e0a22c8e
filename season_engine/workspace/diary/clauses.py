"""A line cut into clauses, and the clauses that go with the same trees put together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from season_engine.workspace.diary.language import Guards
from season_engine.workspace.diary.tokens import Day, Subject, Token, folded_set

_SENTENCE_ENDS = frozenset(".;!?")
_MARKS = _SENTENCE_ENDS | frozenset(":,()-")
_BLOOM = frozenset({"bloom", "blooming", "flowering"})
_WEAK_JOINS = folded_set("so then also plus while denn da dann wo where as")  # only behind a comma
_COMPARED = folded_set("before after than vor nach als")  # of another tree: "larch before the elm"


_ANDS = ("and", "und", "&", "+")


@dataclass(frozen=True)
class Passed:
    """Words by which it is told whether a clause says anything of its trees."""

    small: frozenset[str]
    too: frozenset[str]
    starts: frozenset[str]
    not_yet: frozenset[str]  # of which one says that nothing is to be seen


@dataclass
class Clause:
    """Some words between marks or joining words."""

    tokens: list[Token] = field(default_factory=list)
    sentence: int = 0
    led_by: str = ""  # the word that joins it
    ended_by: str = ""  # the mark or word after it
    asked: bool = False  # its sentence ends with a question mark
    beside: list[Subject] = field(default_factory=list)  # trees named alone before or after it

    def take(self, bare: Clause) -> None:
        """Count the trees of a clause that says nothing else as its own."""
        self.beside += bare.subjects
        self.tokens += [token for token in bare.tokens if not isinstance(token, Subject)]

    @property
    def subjects(self) -> list[Subject]:
        """The trees it names."""
        return [token for token in self.tokens if isinstance(token, Subject)]

    @property
    def words(self) -> list[str]:
        """Its words."""
        return [token for token in self.tokens if isinstance(token, str)]

    @property
    def days(self) -> list[Day]:
        """The days it names."""
        return [token for token in self.tokens if isinstance(token, Day)]

    def says_only(self, words: frozenset[str]) -> bool:
        """Whether it says of a tree no more than some of these words."""
        return isinstance(self.tokens[0], Subject) and bool(self.words) and words.issuperset(self.words)

    def begins_with_subject(self, passed: frozenset[str]) -> bool:
        """Whether a tree stands before its first word of weight."""
        for token in self.tokens:
            if isinstance(token, Subject):
                return True
            if isinstance(token, str) and token not in passed:
                return False
        return False


def clauses_of(tokens: Sequence[Token], guards: Guards) -> list[Clause]:
    """The clauses of a line, in order."""
    found = [Clause()]
    sentence = 0
    for at, token in enumerate(tokens):
        before = tokens[at - 1] if at else "."
        after = tokens[at + 1] if at + 1 < len(tokens) else "."
        if not isinstance(token, str) or not _cuts(token, before, after, guards):
            found[-1].tokens.append(token)
            continue
        found[-1].ended_by = found[-1].ended_by or token
        if token == "?":
            for one in found:
                one.asked = one.asked or one.sentence == sentence
        sentence += token in _SENTENCE_ENDS
        led = "" if token in _MARKS else token
        if found[-1].tokens or led:
            found.append(Clause(sentence=sentence, led_by=led))
        else:
            found[-1].sentence, found[-1].led_by = sentence, led or found[-1].led_by
    return [one for one in found if one.tokens]


def _cuts(token: str, before: Token, after: Token, guards: Guards) -> bool:
    if token in _MARKS:
        return True
    if token in _WEAK_JOINS:
        follows = isinstance(after, Subject) or after in guards.pronouns or after in guards.articles
        return before in (",", ".", ";", "-", "and", "und") or follows
    if token == "after" and after in _BLOOM:  # "pruned after bloom" is one thing
        return False
    return token in guards.joins or token in guards.subordinate or token in guards.condition


def joined(clauses: Sequence[Clause], passed: Passed) -> list[Clause]:
    """The clauses with those that only name a tree put to the one that says something of it."""
    found: list[Clause] = []
    waiting: list[Clause] = []  # bare ones that go with what follows
    for at, clause in enumerate(clauses):
        if not _bare(clause, passed.small | passed.too | passed.starts):
            for bare in waiting:
                clause.take(bare)
            if waiting:
                clause.led_by = waiting[0].led_by
            waiting = []
            found.append(clause)
        elif clause.led_by in _COMPARED:
            continue
        elif _goes_before(clause, found, clauses[at + 1 :], passed) and not waiting:
            found[-1].take(clause)
            found[-1].ended_by = clause.ended_by
            found[-1].asked = found[-1].asked or clause.asked
        else:
            waiting.append(clause)
    for bare in waiting:
        if found and found[-1].sentence == bare.sentence:
            found[-1].take(bare)
        else:
            found.append(bare)
    return found


def _bare(clause: Clause, passed: frozenset[str]) -> bool:
    return bool(clause.subjects) and all(word in passed for word in clause.words)


def _goes_before(
    clause: Clause,
    found: Sequence[Clause],
    after: Sequence[Clause],
    passed: Passed,
) -> bool:
    """Whether a bare clause belongs to what stands before it."""
    if not found:
        return False
    before = found[-1]
    same = before.sentence == clause.sentence
    if not after or after[0].sentence != clause.sentence:
        return same
    if not same:
        return False
    if not passed.too.isdisjoint(clause.words):
        return True
    on = clause.ended_by in (",", *_ANDS)
    if before.ended_by == "," and clause.ended_by in _ANDS and after[0].says_only(passed.not_yet):
        return False  # "open on p1, p2 and p3 not yet"
    return not before.begins_with_subject(passed.small) or not on
