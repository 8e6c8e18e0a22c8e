"""Days in a grower's words: "yesterday", "on Sunday", "three days ago", "last week"."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from season_engine.workspace.diary.language import DayWords
from season_engine.workspace.diary.tokens import Day, Token
from season_engine.workspace.diary.tongue import Tongue

NO_DAY = Day()
WEEK = 7


def with_days(tokens: Sequence[str], on: dt.date, tongue: Tongue) -> list[Token]:
    """The words of a line with each telling of a day as one token."""
    words = tongue.days
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        read = (
            _counted(tokens, at, on, words) or _ago(tokens, at, on, words) or _weekday(tokens, at, on, words)
        )
        if read is None:
            found.append(tokens[at])
            at += 1
            continue
        day, size = read
        before = found[-1] if found else ""
        found.append(NO_DAY if isinstance(before, str) and before in words.no_day else day)
        at += size
    return _with_vague(found, tongue)


def _counted(tokens: Sequence[str], at: int, on: dt.date, words: DayWords) -> tuple[Day, int] | None:
    for phrase, ago in words.days_ago.items():
        parts = phrase.split()
        if list(tokens[at : at + len(parts)]) == parts:
            size = len(parts)
            if at + size < len(tokens) and tokens[at + size] in words.parts:
                size += 1
            return Day(on - dt.timedelta(days=ago)), size
    return None


def _ago(tokens: Sequence[str], at: int, on: dt.date, words: DayWords) -> tuple[Day, int] | None:
    """A number of days ago; vague where "about" stands before it."""
    start = at
    if words.before_number:
        if tokens[at] != words.before_number:
            return None
        at += 1
    about = at < len(tokens) and tokens[at] in words.about
    at += about
    if at + 1 >= len(tokens) or tokens[at + 1] not in words.days:
        return None
    number = _place_of(tokens[at], words.numbers)
    if number is None:
        return None
    end = at + 2
    if words.after_number:
        if end >= len(tokens) or tokens[end] != words.after_number:
            return None
        end += 1
    return Day(vague=True) if about else Day(on - dt.timedelta(days=number + 1)), end - start


def _weekday(tokens: Sequence[str], at: int, on: dt.date, words: DayWords) -> tuple[Day, int] | None:
    start = at
    last = tokens[at] in words.last
    if tokens[at] in words.lead:
        at += 1
    if at >= len(tokens):
        return None
    number = _place_of(tokens[at], words.weekdays)
    before = tokens[start - 1] if start else ""
    if number is None or before in words.to_come:
        return None
    size = at + 1 - start
    if at + 1 < len(tokens) and tokens[at + 1] in words.parts:
        size += 1
    if tokens[at].endswith("days"):
        return NO_DAY, size
    ago = (on.weekday() - number) % WEEK
    if ago == 0 or (last and ago <= 2):  # today, or a week before?
        return Day(vague=True), size
    return Day(on - dt.timedelta(days=ago)), size


def _place_of(token: str, rows: Sequence[frozenset[str]]) -> int | None:
    """The place of the row that has a word, from 0."""
    return next((place for place, row in enumerate(rows) if token in row), None)


def _with_vague(tokens: list[Token], tongue: Tongue) -> list[Token]:
    for one in reversed(tongue.vague_days.found_in(tokens)):
        first, last = one.places[0], one.places[-1]
        if any(not isinstance(token, str) for token in tokens[first : last + 1]):
            continue
        far = not tongue.days.long_ago.isdisjoint(map(str, tokens[first : last + 1]))
        before = {token for token in tokens[max(0, first - 2) : first] if isinstance(token, str)}
        tokens[first : last + 1] = [NO_DAY if before & tongue.days.no_day else Day(vague=True, long_ago=far)]
    return tokens
