"""How much, which part, which side and which pot, in the words of a clause."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cache, cached_property

from season_engine.files.toml_faults import checked
from season_engine.note import Amount
from season_engine.pot import Pot
from season_engine.tables.known import Table
from season_engine.workspace.diary.language import shipped
from season_engine.workspace.diary.tokens import Token, Words
from season_engine.workspace.pots import pot_in

# Three tenths of the foliage and more is heavy: common practice, no source.
HEAVY_SHARE = 0.3
AMOUNTS: tuple[Amount, ...] = ("heavy", "medium", "light")  # of several that are told the first counts
CUTS = frozenset({"structural-pruning", "cut-back", "after-bloom-pruning", "trimming"})

_SHORT = 4  # words of a side by something


class _Words(Table):
    """What `quantities.toml` holds; it says what each key means."""

    two: Words
    three: Words
    crown: Words
    tips: Words
    just: Words
    denied: Words
    not_how: Words
    sides: Words
    side: Words
    halves: Words
    by: Words
    places: Words
    before_place: Words
    pots: Words
    into: Words
    pot_stops: Words
    fill: Words
    shares: dict[Fraction, Words]
    amounts: dict[Amount, Words]
    parts_of_crown: dict[Amount, Words]
    same_side: dict[str, Words]

    @cached_property
    def share(self) -> Mapping[str, float]:
        """What part each word for one tells."""
        return {word: float(part) for part, words in self.shares.items() for word in words}


@cache
def _words() -> _Words:
    return checked(shipped("quantities.toml"), _Words)


@cache
def words_of_quantity() -> frozenset[str]:
    """The words for how much, which part and which side."""
    known = _words()
    sets = [known.two, known.three, known.just, known.sides, known.side, known.halves, known.pots, known.into]
    return frozenset().union(*sets, *known.shares.values(), *known.amounts.values())


def speaks_of_crown(words: Iterable[str]) -> bool:
    """Whether words name branches or what they bear."""
    return not _words().crown.isdisjoint(words)


def share_of(words: Sequence[str]) -> float | None:
    """What part of something a clause speaks of; None where it names none, or more than one."""
    known = _words()
    found = []
    for at, word in enumerate(words):
        before = words[at - 1] if at else ""
        number = _fraction(word)
        if number is None and word in known.share:
            number = known.share[word]
            if word in ("thirds", "quarters", "drittel", "viertel") and before in known.two | known.three:
                parts = 3 if word in ("thirds", "drittel") else 4
                number = (2 if before in known.two else 3) / parts
            if word == "third" and words[at + 1 : at + 2] and words[at + 1] in known.share:
                continue  # "the third third"
        if number is not None and 0 < number < 1:
            found.append(number)
    return found[0] if len(set(found)) == 1 else None


def _fraction(word: str) -> float | None:
    if word.endswith("%"):
        text = word[:-1].strip().replace(",", ".")
        return float(text) / 100 if text.replace(".", "", 1).isdecimal() else None
    above, mark, below = word.partition("/")
    if mark and above.isdecimal() and below.isdecimal() and int(below):
        return int(above) / int(below)
    return None


def amount_of(job: str, words: Sequence[str], said: Amount | None, share: float | None) -> Amount | None:
    """How much a job took: by a word for it, by the share of the crown that went, or by what else is said."""
    known = _words()
    how = {word for at, word in enumerate(words) if not _of_something(words, at)}
    found = {amount for amount, meant in known.amounts.items() if not meant.isdisjoint(how)}
    if job in CUTS:
        crown = speaks_of_crown(words)
        if share is not None and (crown or job != "trimming"):
            found.add("heavy" if share >= HEAVY_SHARE else "light")
        if crown:
            found |= {amount for amount, meant in known.parts_of_crown.items() if not meant.isdisjoint(words)}
    if not known.tips.isdisjoint(words) and not known.just.isdisjoint(words):
        found.add("light")
    if not known.denied.isdisjoint(words):
        return said
    return next((one for one in AMOUNTS if one in found), None) or said


def _of_something(words: Sequence[str], at: int) -> bool:
    near = words[max(0, at - 1) : at + 2]
    return not _words().not_how.isdisjoint(near)


def side_of(words: Sequence[str]) -> str:
    """Which side of a tree or its roots, in the grower's words without the article."""
    known = _words()
    for at, word in enumerate(words):
        if word in known.side:
            behind = words[at + 1 : at + 1 + _SHORT]
            if behind and behind[0] in known.by:
                return " ".join(behind)
    for at, word in enumerate(words):
        if word in known.sides and _is_place(words, at):
            return next((side for side, others in known.same_side.items() if word in others), word)
    return ""


def _is_place(words: Sequence[str], at: int) -> bool:
    """Whether "back", "top" and their like tell a place here, and not the way: "cut back", "topped off"."""
    known = _words()
    if words[at] not in known.places:
        return True
    before = words[at - 1] if at else ""
    after = words[at + 1] if at + 1 < len(words) else ""
    return before in known.before_place or after in known.side | known.halves | {"only"}


def pot_of(tokens: Sequence[Token]) -> tuple[str, Pot | None]:
    """The new pot in the grower's words, and its size where they give one."""
    known = _words()
    words = [token if isinstance(token, str) else "" for token in tokens]
    for at, word in enumerate(words):
        if word in known.pots and at + 1 < len(words) and words[at + 1] in ("is", "ist"):
            return _tidied(words[at + 2 :])
    ends = [at for at, word in enumerate(words) if word in known.pots]
    for end in reversed(ends):
        starts = [at for at in range(max(0, end - 6), end) if words[at] in known.into]
        if starts:
            return _tidied(words[starts[-1] + 1 : end + 1])
    for at, word in enumerate(words):
        if word == "into":
            return _tidied(words[at + 1 :])
    return "", None


def _tidied(words: Sequence[str]) -> tuple[str, Pot | None]:
    known = _words()
    kept = []
    for word in words:
        if word in known.pot_stops or not word:
            break
        if word not in known.fill:
            kept.append(word)
    text = " ".join(kept)
    return text, pot_in(text)
