"""How much of the roots a repotting was about, in a grower's words: all, a section of the ball, or none."""

from __future__ import annotations

import re
from itertools import product

from season_engine.files.spelling import Tokens, tokens_of
from season_engine.workspace.journal_line import Line

FULL, SECTION, NONE = "repotting", "sectional-repotting", "slip-potting"


def _phrases(*choices: tuple[str, ...]) -> set[Tokens]:
    return {tokens_of(" ".join(words)) for words in product(*choices)}


# Without small words, such as "of the", which are left aside.
_WHICH = ("", "one", "first", "second", "third", "fourth", "last", "next", "another", "other")
_SHARES = ("quarter", "third", "half", "section", "two thirds", "three quarters")
_ROOTS = ("root ball", "rootball", "roots", "old roots")
_OF_THE_BALL = _phrases(_WHICH, (*_SHARES, "side"), _ROOTS) | _phrases(("1/4", "1/3", "1/2"), _ROOTS)
_SOME = _OF_THE_BALL | _phrases(_WHICH, _SHARES) | _phrases(("one side",))
SECTIONS = _SOME | {
    part for one in _SOME for word in ("only", "just") for part in ((word, *one), (*one, word))
}
_UNTOUCHED = _phrases(
    (
        "no root work",
        "without root work",
        "roots untouched",
        "roots not touched",
        "slip potted",
        "slip potting",
    )
)
_REPOTTED = {"repotted", "repotting"}
_RENEWED = "renewed"  # which says nothing unless it is said how much
# In a remark: roots that were cut away, or what was not done, is no section of the ball.
_ELSE = {
    "cut",
    "trimmed",
    "pruned",
    "removed",
    "shortened",
    "reduced",
    "off",
    "away",
    "gone",
    "dead",
    "rotten",
}
_ELSE |= {"no", "not", "isn't", "wasn't", "weren't", "instead", "rather"}


def take_untouched(line: Line) -> set[str]:
    """Take out that the roots were left alone, where a line tells of a repotting; the job, or none."""
    if _REPOTTED.isdisjoint(line.left):
        return set()
    return line.take_all(dict.fromkeys(_UNTOUCHED, NONE))


def take_section(line: Line) -> set[str]:
    """Take out which part of the root ball was renewed, of a line without small words; the job, or none."""
    if not (_REPOTTED | {_RENEWED}).intersection(line.left):
        return set()
    found = line.take_all(dict.fromkeys(SECTIONS, SECTION))
    if found:
        line.take_all(dict.fromkeys({(_RENEWED,), *_phrases(_ROOTS)}, SECTION))
    return found


def job_by_remark(remark: str) -> str:
    """The kind of repotting that a free remark about one tells of: the full one, unless it is plain."""
    for clause in re.split("[;,.:]", remark):
        line = Line(tokens_of(clause))
        if line.copy().take_all(dict.fromkeys(_UNTOUCHED, NONE)):
            return NONE
        line.drop_small_words()
        if _ELSE.isdisjoint(line.left) and (
            tuple(line.left) in SECTIONS or line.take_all(dict.fromkeys(_OF_THE_BALL, SECTION))
        ):
            return SECTION
    return FULL
