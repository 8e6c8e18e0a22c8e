"""How heavy a pruning was, in a grower's words: what part of the crown went, or that it was light or hard.

A third of the crown and more is heavy: common practice, no source.
"""

from __future__ import annotations

import re
from itertools import product

from season_engine.files.spelling import Tokens, tokens_of
from season_engine.note import Amount
from season_engine.workspace.journal_line import Line

_HOW: dict[str, Amount] = {
    **dict.fromkeys(("heavy", "heavily", "hard", "severe", "severely", "drastic", "drastically"), "heavy"),
    **dict.fromkeys(("light", "lightly", "slight", "slightly", "gentle", "gently"), "light"),
}
_DEGREES = {"very", "quite", "fairly", "rather", "only", "just"}
PRUNING_WORDS = {"thinned", "thinning", "pruned", "pruning", "cut", "cuts", "cutting", "work"}
# Without small words, such as "of the", which are left aside.
_SHARES: dict[str, Amount] = {
    **dict.fromkeys(("quarter", "fifth", "tenth", "1/4", "few"), "light"),
    **dict.fromkeys(("third", "half", "most", "two thirds", "three quarters", "1/3", "1/2", "2/3"), "heavy"),
}
_CROWN = ("branches", "all branches", "crown", "whole crown", "canopy", "foliage", "shoots", "twigs", "green")
_OF_THE_CROWN: dict[Tokens, Amount] = {
    tokens_of(f"{share} {part}"): _SHARES[share] for share, part in product(_SHARES, _CROWN)
}
_TAKEN_OFF = {
    tokens_of(words) for words in ("taken off", "taken out", "taken", "off", "out", "removed", "gone")
}
_KEPT = {"left", "kept", "keep", "remain", "remains", "remaining"}
_DENIED = {"no", "not", "isn't", "wasn't", "weren't", "without", "never"}


def take_weight(line: Line) -> None:
    """Take out how heavy a pruning was, where a line without small words tells of one."""
    if PRUNING_WORDS.isdisjoint(line.left):
        return
    if line.take_all(_OF_THE_CROWN):
        line.drop_all(_TAKEN_OFF)
    if line.take_all({(word,): weight for word, weight in _HOW.items()}):
        line.drop_all((word,) for word in _DEGREES)


def weight_of(job: str | None, note: str) -> Amount | None:
    """How heavy a job that another may follow was, by what its note says; None where it says nothing."""
    if job != "structural-pruning":
        return None
    found = {weight for clause in re.split("[;,.:]", note) for weight in _weights(clause)}
    return "heavy" if "heavy" in found else "light" if found else None


def _weights(clause: str) -> set[Amount]:
    line = Line(tokens_of(clause))
    line.drop_small_words()
    words = set(line.left)
    if words & (_DENIED | _KEPT):
        return set()
    found = line.copy().take_all(_OF_THE_CROWN)
    if words & PRUNING_WORDS or words - _DEGREES <= _HOW.keys():
        found |= {_HOW[word] for word in words & _HOW.keys()}
    return found
