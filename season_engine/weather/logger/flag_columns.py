"""Which columns mark how good the readings of others are."""

from __future__ import annotations

from season_engine.weather.logger.kinds import Kinds
from season_engine.weather.logger.vocabulary import says, tokens

_MOST_MARKS, _LONGEST_MARK = 20, 2


def flag_columns(kinds: Kinds, temps: dict[str, int], given: int | None) -> dict[str, int]:
    """The columns that mark the readings, by the role of what they mark; empty where there are none."""
    if given is not None:
        return {f"{role} 0": given for role in temps}
    if kinds.head.line is None:
        return _nameless(kinds, temps)
    marks = [
        at
        for at in range(kinds.width)
        if says(kinds.name(at), "flag") and at not in temps.values() and 1 < len(set(kinds.texts(at)) | {""})
    ]
    marks = [at for at in marks if len(set(kinds.texts(at))) <= _MOST_MARKS and not kinds.head.unit(at)]
    found: dict[str, int] = {}
    for role, at in temps.items():
        own = [
            mark for mark in marks if set(tokens(kinds.head.name(at))) & set(tokens(kinds.head.name(mark)))
        ]
        beside = [mark for mark in marks if set(range(at + 1, mark)) <= set(marks) and mark > at]
        chosen = beside or own or (marks if len(marks) == 1 else [])
        found |= {f"{role} {place}": mark for place, mark in enumerate(chosen)}
    return found


def _nameless(kinds: Kinds, temps: dict[str, int]) -> dict[str, int]:
    """In a table of days without a header, a column of marks behind each of both extremes, "-0.6;;5.5;B"."""
    behind = {role: at + 1 for role, at in temps.items()}
    several = len(behind) > 1 and not set(behind.values()) & set(temps.values())
    return (
        {f"{role} 0": at for role, at in behind.items()}
        if several and all(_holds_marks(kinds, at) for at in behind.values())
        else {}
    )


def _holds_marks(kinds: Kinds, at: int) -> bool:
    """Whether a column's cells are empty, or short and no numbers, as far as these lines go.

    A digit may be a mark where most cells are empty: "8" behind a ".0" that nobody measured.
    """
    texts = kinds.texts(at)
    digits = [text for text in texts if text.isdigit()]
    seldom = 2 * len(digits) < len(texts) and all(len(text) == 1 for text in digits)
    return bool(texts) and seldom and all(len(text) <= _LONGEST_MARK for text in texts)
