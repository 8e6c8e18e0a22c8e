"""Which columns mark how good the readings of others are."""

from __future__ import annotations

from season_engine.weather.logger.kinds import Kinds
from season_engine.weather.logger.vocabulary import says, tokens

_MOST_MARKS = 20


def flag_columns(kinds: Kinds, temps: dict[str, int], given: int | None) -> dict[str, int]:
    """The columns that mark the readings, by the role of what they mark; empty where there are none."""
    if given is not None:
        return {f"{role} 0": given for role in temps}
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
